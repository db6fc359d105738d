#!/usr/bin/env python3
"""Makes the JSON Schemas of layouts, catalogues and rule sets from what their readers ask.

usage: make.py ASKED_PROGRAM OUT_FOLDER

A mapping that a reader goes through key by key becomes a definition of its name with exactly those
keys; a value becomes what was asked of it wherever it was met. Descriptions and examples stand in
the tables of the pages under docs, so a key without a description is a hole in a page.
"""
import glob
import json
import os
import re
import subprocess
import sys
import tempfile

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))

FILES = {
    "layout": {
        "title": "ductledger layout, version 1",
        "read": ["examples/*.yaml", "tests/schema/layouts/*.yaml"],
        "pages": ["docs/layout-format.md", "docs/layout-facts.md"],
        "begins": "layout:",
    },
    "catalogue": {
        "title": "ductledger catalogue, version 1",
        "read": ["fittings/**/*.yaml", "tests/schema/catalogues/*.yaml"],
        "pages": ["docs/catalogue-format.md", "docs/own-fitting.md"],
        "begins": "(catalogue|kind|fittings):",
    },
    "rules": {
        "title": "ductledger rule set, version 1",
        "read": ["tests/schema/rules/*.yaml"],
        "pages": ["docs/rules-format.md"],
        "begins": "rule_set:",
    },
}

# Kinds of pieces that share the keys of every fitting; what is not met at one was met at another.
FITTINGS = ("elbow", "transition", "cap", "damper", "screen", "filter", "entry", "loss", "fan")

# Where a page tells of a mapping under another heading.
TOLD_UNDER = {"speed": "fan", "variant": "variants", "traverse": "measurements", "tested": "house",
              "branch": "branches", "junction": "branches",
              "cooking": "appliance.cooking", "collar_at": "appliance", "intake_at": "house", "data set": "A data set",
              "parameter": "A parameter", "axis": "An axis", "factor": "A factor",
              "fitting": "A fitting", "source": "sources.yaml", "rule": "Keys of a rule",
              "rule set": "Keys of the file"}

# One word of each form, as YAML 1.1 and 1.2 hand it to a validator.
YES_NO = {"anyOf": [{"type": "boolean"}, {"enum": ["yes", "no", "true", "false", "on", "off"]}]}


class Value:
    """What was asked of the values met at one place, over all files."""

    def __init__(self):
        self.forms, self.words, self.kinds = set(), set(), set()
        self.dimensions, self.mappings = {}, set()
        self.items, self.free = None, {}

    def add(self, asked, mappings):
        self.kinds.add(asked["kind"])
        forms = set(asked.get("forms", ()))
        if forms - {"scalar"}:
            forms.discard("scalar")
        self.forms |= forms
        self.words |= set(asked.get("words", ()))
        for dimension in asked.get("dimensions", ()):
            self.dimensions[dimension["name"]] = dimension
        for item in asked.get("items", ()):
            self.items = self.items or Value()
            self.items.add(item, mappings)
        name = asked.get("mapping")
        if name:
            self.mappings.add(name)
            mapping = mappings.setdefault(name, {"keys": {}, "required": None})
            for key in asked["keys"]:
                mapping["keys"].setdefault(key, Value())
            required = set(asked["required"])
            seen = mapping["required"]
            mapping["required"] = required if seen is None else seen & required
        for key, value in asked.get("entries", {}).items():
            if not name:
                self.free.setdefault(key, Value()).add(value, mappings)
                continue
            wanted = key.replace("-", "_")
            for known in mappings[name]["keys"]:
                if known.replace("-", "_") == wanted:
                    mappings[name]["keys"][known].add(value, mappings)


def rows_of_page(path):
    """(heading, key, cells by column name) of every table whose first column is `key`."""
    heading, columns, rows = "", [], []
    with open(os.path.join(ROOT, path), encoding="utf-8") as page:
        for line in page:
            if line.startswith("#"):
                heading = line.strip("# \n").replace("`", "")
                columns = []
            elif line.startswith("|"):
                cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")]
                if cells[0] == "key":
                    columns = cells
                elif columns and not set(line) <= set("|-\n"):
                    named = dict(zip(columns, cells))
                    for key in re.findall(r"`([a-z0-9_.]+)`", cells[0]):
                        rows.append((heading, key, named))
            elif not line.strip():
                continue
            else:
                columns = columns if line.startswith(" ") else []
    return rows


def described(pages):
    """Descriptions and examples by `mapping.key`, as the pages' headings name the mappings."""
    out = {}
    for page in pages:
        for heading, key, cells in rows_of_page(page):
            said = [cells[c] for c in ("what it says", "value", "meaning", "decides") if cells.get(c)]
            for column in ("default", "range"):
                if cells.get(column, "-") not in ("", "-") and not cells[column].startswith("- ;"):
                    said.append(f"{column}: {cells[column]}")
            text = re.sub(r"\[([^]]*)\]\([^)]*\)", r"\1", "; ".join(said)).replace("`", "")
            example = cells.get("example", "").strip("`")
            whole = key if heading in ("Top level", "") else f"{heading}.{key}"
            for name in {whole, whole.split(".", 1)[-1] if "." in key else whole}:
                out.setdefault(name, (text, example))
    return out


def facts_layout(pages):
    """A layout that states each fact by the example that its page gives."""
    groups = {}
    for page in pages:
        if "facts" in page:
            for heading, key, cells in rows_of_page(page):
                groups.setdefault(heading, {})[key] = cells["example"].strip("`")
    nested = {}
    for path, facts in groups.items():
        here = nested
        for part in path.split("."):
            here = here.setdefault(part, {})
        here.update(facts)

    def flow(value):
        if isinstance(value, dict):
            return "{" + ", ".join(f"{k}: {flow(v)}" for k, v in value.items()) + "}"
        return value

    nested["run"]["pieces"] = "[{straight: 1 ft}]"
    return "layout: 1\n" + "".join(f"{k}: {flow(v)}\n" for k, v in nested.items())


def blocks_of_pages(pages, begins, scratch):
    """The pages' own examples of a whole file, each as a file."""
    paths = []
    for page in pages:
        with open(os.path.join(ROOT, page), encoding="utf-8") as file:
            blocks = re.findall(r"```yaml\n(.*?)```", file.read(), re.S)
        for block in blocks:
            if re.search(rf"^{begins}", block, re.M):
                paths.append(os.path.join(scratch, f"{len(paths)}-{os.path.basename(page)}.yaml"))
                with open(paths[-1], "w", encoding="utf-8") as file:
                    file.write(block)
    return paths


def own_rules_as_a_set(scratch):
    """The program's own rules, written as a rule set of a user's."""
    path = os.path.join(scratch, "own-rules.yaml")
    with open(path, "w", encoding="utf-8") as out:
        out.write("rule_set: all-of-them\ntitle: All\nrules:\n")
        for name in sorted(glob.glob(os.path.join(ROOT, "lib/rules/data/*.yaml"))):
            with open(name, encoding="utf-8") as file:
                lines = [line for line in file.read().splitlines()
                         if line.strip() and not line.lstrip().startswith("#")]
            if any(line.startswith("rule:") for line in lines):
                out.write("  - " + "\n    ".join(lines) + "\n")
    return path


def forgiving(word):
    """A pattern for a word whose case, hyphens, underscores and blanks are forgiven."""
    return "^" + "".join(
        f"[{c.lower()}{c.upper()}]" if c.isalpha() else "[-_ ]" if c == "-" else re.escape(c)
        for c in word) + "$"


class Maker:
    """Turns what was asked into a schema."""

    def __init__(self, mappings, descriptions):
        self.mappings, self.descriptions = mappings, descriptions

    def reference(self, name):
        return {"$ref": "#/$defs/" + name.replace(" ", "_")}

    def value(self, value, pieces=False):
        """The schema of one place. @param pieces whether its items are pieces of a run"""
        options = []
        for name in sorted(value.mappings):
            options.append(self.reference(name))
        if value.forms & {"quantity", "column"}:
            plain = any(d["name"] == "a plain number" for d in value.dimensions.values())
            options.append({"type": ["number", "string"] if plain else "string"})
        if "column" in value.forms:
            options.append({"type": "array", "items": {"type": ["number", "string"]}})
        if "yes-no" in value.forms:
            options.append(YES_NO)
        if "whole" in value.forms:
            options.append({"type": ["integer", "string"]})
        if "word" in value.forms and "text" not in value.forms:
            words = sorted(value.words)
            options.append({"anyOf": [{"enum": words},
                                      {"type": "string", "pattern": "|".join(map(forgiving, words))}]})
        unread = "scalar" in value.kinds and not value.forms
        if value.forms & {"text", "scalar"} or unread:
            options.append({"type": ["string", "number", "boolean"]})
        if "list" in value.kinds and "column" not in value.forms:
            items = self.value(value.items, pieces) if value.items else {}
            options.append({"type": "array", "items": items})
        if value.free and not value.mappings:
            options.append(self.free(value, pieces))
        if "mapping" in value.kinds and not value.mappings and not value.free:
            options.append({"type": "object"})
        if not options:
            return {}
        return options[0] if len(options) == 1 else {"anyOf": options}

    def free(self, value, pieces):
        """A mapping whose keys no reader asks for one by one: a piece's kind, or names of its own."""
        if pieces:
            return {"type": "object",
                    "properties": {key: self.value(below) for key, below in sorted(value.free.items())},
                    "minProperties": 1, "additionalProperties": False}
        merged = [self.value(below) for _, below in sorted(value.free.items())]
        unique = [m for i, m in enumerate(merged) if m not in merged[:i]]
        return {"type": "object",
                "additionalProperties": unique[0] if len(unique) == 1 else {"anyOf": unique}}

    def told(self, name, key):
        """Description and example of a key, where the pages tell of it."""
        places = [f"{name}.{key}", f"{TOLD_UNDER.get(name, name)}.{key}",
                  f"{name.split('.')[0]}.{key}", key if name in FILES else ""]
        if name in FITTINGS:
            places.append(f"Keys of every fitting.{key}")
            places.append(f"straight.{key}")
        for place in places:
            if place in self.descriptions:
                return self.descriptions[place]
        return ("", "")

    def mapping(self, name):
        of = self.mappings[name]
        properties = {}
        for key, value in of["keys"].items():
            schema = dict(self.value(value, pieces=key == "pieces" and name == "run"))
            text, example = self.told(name, key)
            units = [f"{d['form']} in {d['units']}" for d in value.dimensions.values()
                     if d["name"] != "a plain number"]
            told = ". ".join(part for part in [text, *units] if part)
            if told:
                schema = {"description": told, **schema}
            if example:
                schema["examples"] = [example]
            properties[key] = schema
        out = {"type": "object", "properties": properties, "additionalProperties": False}
        if of["required"]:
            out["required"] = sorted(of["required"])
        return out


def asked(program, what, paths):
    lines = subprocess.run([program, what, *paths], check=True, capture_output=True, text=True,
                           cwd=ROOT).stdout.splitlines()
    return [json.loads(line) for line in lines]


def schema_of(what, program, scratch):
    of = FILES[what]
    paths = blocks_of_pages(of["pages"], of["begins"], scratch)
    paths += sorted(p for pattern in of["read"]
                   for p in glob.glob(os.path.join(ROOT, pattern), recursive=True))
    documents = [d for d in asked(program, what, paths) if d["accepted"]]
    if what == "rules":
        documents += asked(program, what, [own_rules_as_a_set(scratch)])
    if what == "layout":
        facts = os.path.join(scratch, "facts.yaml")
        with open(facts, "w", encoding="utf-8") as file:
            file.write(facts_layout(of["pages"]))
        documents += asked(program, what, [facts])
    root, mappings = Value(), {}
    for document in documents:
        root.add(document["root"], mappings)
    for name in FITTINGS:
        for key, value in mappings.get(name, {"keys": {}})["keys"].items():
            if not value.kinds:
                others = [mappings[n]["keys"][key] for n in FITTINGS
                          if n in mappings and key in mappings[n]["keys"]]
                met = [other for other in others if other.kinds]
                if met:
                    mappings[name]["keys"][key] = met[0]
    maker = Maker(mappings, described(of["pages"]))
    definitions = {name.replace(" ", "_"): maker.mapping(name) for name in sorted(mappings)}
    # Spellings of a key: underscore and hyphen are one.
    for definition in definitions.values():
        twins = {k.replace("_", "-"): {"$ref": f"#/$defs/{n}/properties/{k}"}
                 for n, d in definitions.items() if d is definition
                 for k in definition["properties"] if "_" in k}
        definition["patternProperties"] = {f"^{re.escape(k)}$": v for k, v in twins.items()}
        if not twins:
            del definition["patternProperties"]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": of["title"],
            "description": "Made from what the program's own reader asks for.",
            **maker.value(root), "$defs": definitions}


def main():
    program, out = sys.argv[1:3]
    os.makedirs(out, exist_ok=True)
    for what in FILES:
        with tempfile.TemporaryDirectory() as scratch:
            schema = schema_of(what, os.path.abspath(program), scratch)
        with open(os.path.join(out, f"{what}.schema.json"), "w", encoding="utf-8") as file:
            json.dump(schema, file, indent=1, ensure_ascii=False)
            file.write("\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
