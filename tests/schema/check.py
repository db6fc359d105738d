#!/usr/bin/env python3
"""The schemas are today's, and they agree with the reader wherever a schema can tell.

usage: check.py ASKED_PROGRAM PROGRAM
"""
import filecmp
import glob
import json
import os
import subprocess
import sys
import tempfile

import jsonschema
import yaml

from make import FILES, ROOT, asked

STORED = os.path.join(ROOT, "docs", "schema")
# What a schema can refuse; the rest (ranges in units, contradictions, geometry) is for the reader.
DECIDABLE = {"unknown-key", "wrong-kind", "not-yes-or-no"}
# Which keys go together is for the reader: this key is known, but not beside that `kind`.
CONDITIONAL = {"house_makeup_wrong_key.yaml", "no_speeds.yaml"}
LARGEST = 20000  # bytes: a validator in Python is no tool for hostile sizes


class Loader(yaml.SafeLoader):
    """Dates stay texts, as JSON has none."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, rule) for tag, rule in rules if tag != "tag:yaml.org,2002:timestamp"]
    for first, rules in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def as_json(value):
    """Keys as texts: a piece's number is one."""
    if isinstance(value, dict):
        return {str(key): as_json(below) for key, below in value.items()}
    return [as_json(item) for item in value] if isinstance(value, list) else value


def main():
    asked_program, program = map(os.path.abspath, sys.argv[1:3])
    wrong = []
    with tempfile.TemporaryDirectory() as made:
        here = os.path.dirname(os.path.abspath(__file__))
        subprocess.run([sys.executable, os.path.join(here, "make.py"), asked_program, made], check=True)
        subprocess.run([sys.executable, os.path.join(here, "results.py"), program, made], check=True)
        names = sorted(os.listdir(made))
        if names != sorted(os.listdir(STORED)):
            wrong.append(f"schemas are {names}, stored {sorted(os.listdir(STORED))}")
        for name in names:
            stored = os.path.join(STORED, name)
            if os.path.exists(stored) and not filecmp.cmp(os.path.join(made, name), stored, False):
                wrong.append(f"docs/schema/{name} is not today's: tests/accept writes it")

    accepted = refused = 0
    for what, of in FILES.items():
        with open(os.path.join(STORED, f"{what}.schema.json"), encoding="utf-8") as file:
            schema = json.load(file)
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(schema)
        paths = sorted(p for pattern in of["read"]
                       for p in glob.glob(os.path.join(ROOT, pattern), recursive=True))
        if what == "layout":
            paths += sorted(glob.glob(os.path.join(ROOT, "tests/regression/one_fault/*.yaml")))
            paths += sorted(glob.glob(os.path.join(ROOT, "tests/hostile/layouts/*.yaml")))
        for document in asked(asked_program, what, paths):
            name = os.path.basename(document["file"])
            if "root" not in document or os.path.getsize(os.path.join(ROOT, document["file"])) > LARGEST:
                continue  # no YAML that this reader takes: a bomb of aliases, say
            with open(os.path.join(ROOT, document["file"]), encoding="utf-8", errors="replace") as file:
                text = file.read()
            try:
                value = as_json(yaml.load(text, Loader))
            except (yaml.YAMLError, ValueError, RecursionError):
                continue  # none that Python's reader takes
            errors = list(validator.iter_errors(value))
            if document["accepted"]:
                accepted += 1
                if errors:
                    wrong.append(f"{document['file']}: accepted, but the schema says "
                                 f"{errors[0].json_path}: {errors[0].message}")
            elif what == "layout":
                said = subprocess.run([program, "check", "--json", document["file"]], cwd=ROOT,
                                      capture_output=True, text=True, check=False).stdout
                faults = {f["rule"] for f in json.loads(said).get("diagnostics", ())
                          if f.get("severity") == "error"}
                if faults and faults <= DECIDABLE and name not in CONDITIONAL:
                    refused += 1
                    if not errors:
                        wrong.append(f"{document['file']}: {sorted(faults)}, which the schema lets pass")
    print(f"{accepted} accepted, {refused} refused by both")
    if accepted < 20 or refused < 5:
        wrong.append("too few files to tell anything")
    for line in wrong:
        print(line)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
