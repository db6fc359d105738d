#!/usr/bin/env python3
"""Makes the JSON Schemas of result documents from what the program prints.

usage: results.py PROGRAM OUT_FOLDER

Every command that prints JSON answers every example and layout of this folder; a key is required
where each document holds it. Descriptions stand in docs/result-format.md.
"""
import glob
import json
import os
import subprocess
import sys

from make import ROOT, described

CALLS = [["check", "--advise"], ["review"], ["parts"], ["compare"], ["size"], ["commission"]]
FITTINGS = [["fittings", "list"], ["fittings", "show", "cap/wall-hood-flap/round"],
            ["fittings", "evaluate", "elbow/gored-5/round", "radius_ratio=1.5"]]


class Shape:
    """The JSON values met at one place."""

    def __init__(self):
        self.types, self.keys, self.count, self.items, self.constant = set(), {}, 0, None, set()

    def add(self, value):
        self.count += 1
        if value is None:
            self.types.add("null")
        elif isinstance(value, bool):
            self.types.add("boolean")
        elif isinstance(value, (int, float)):
            self.types.add("integer" if isinstance(value, int) else "number")
        elif isinstance(value, str):
            self.types.add("string")
        elif isinstance(value, list):
            self.types.add("array")
            for item in value:
                self.items = self.items or Shape()
                self.items.add(item)
        else:
            self.types.add("object")
            self.keys.setdefault("", 0)
            self.keys[""] += 1
            for key, below in value.items():
                self.keys.setdefault(key, Shape()).add(below)

    def schema(self, path, descriptions, document):
        """What a key says under its document's own heading goes before what one of its name says."""
        types = set(self.types)
        if "number" in types:
            types.discard("integer")
        out = {}
        text = next((descriptions[p][0] for p in (".".join([document, *path]), ".".join(path),
                                                  ".".join(path[-2:]))
                     if p in descriptions), "") if path else ""
        if text:
            out["description"] = text
        if types:
            out["type"] = sorted(types)[0] if len(types) == 1 else sorted(types)
        if "object" in types:
            objects = self.keys[""]
            below = {k: v for k, v in self.keys.items() if k}
            out["properties"] = {k: v.schema([*path, k], descriptions, document) for k, v in below.items()}
            # Keys may be added within a version, so others are allowed.
            out["required"] = [k for k, v in below.items() if v.count == objects]
        if self.items:
            out["items"] = self.items.schema(path, descriptions, document)
        return out


def main():
    program, out = os.path.abspath(sys.argv[1]), sys.argv[2]
    layouts = sorted(os.path.relpath(path, ROOT) for pattern in
                     ("examples/*.yaml", "tests/schema/layouts/*.yaml")
                     for path in glob.glob(os.path.join(ROOT, pattern)))
    calls = [[*call[:1], layout, *call[1:]] for call in CALLS for layout in layouts]
    calls += [["check", layout] for layout in layouts] + [["check", "--advise", *layouts]]
    calls += [["measured", layouts[0], "--static", "0.3inH2O"], *FITTINGS]
    shapes = {}
    for call in calls:
        printed = subprocess.run([program, *call, "--json"], capture_output=True, text=True,
                                 cwd=ROOT, check=False)
        document = json.loads(printed.stdout)
        shapes.setdefault(document["format"], Shape()).add(document)
    descriptions = described(["docs/result-format.md"])
    for key in list(descriptions):  # under a heading of its own document, or of a part of it
        descriptions.setdefault(key.split(".", 1)[-1], descriptions[key])
    for name, shape in shapes.items():
        schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": name,
                  **shape.schema([], descriptions, name)}
        schema["properties"]["format"] = {"const": name}
        file = name.replace("ductledger.", "").replace("/", "-") + ".schema.json"
        with open(os.path.join(out, file), "w", encoding="utf-8") as text:
            json.dump(schema, text, indent=1, ensure_ascii=False)
            text.write("\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
