#!/usr/bin/env python3
"""Lines of modules that no test ran, out of the counts that gcov finds in a build folder.

usage: tests/proof/uncovered.py BUILD MODULE...
"""
import collections
import json
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]


def main():
    build, modules = pathlib.Path(sys.argv[1]).resolve(), sys.argv[2:]
    counts = collections.defaultdict(lambda: collections.defaultdict(int))
    for notes in build.rglob("*.gcda"):
        told = subprocess.run(["gcov", "--json-format", "--stdout", str(notes)], cwd=build,
                              capture_output=True, text=True, check=True).stdout
        for document in map(json.loads, filter(None, told.split("\n"))):
            for source in document["files"]:
                path = (build / source["file"]).resolve()
                if not path.is_relative_to(ROOT / "lib"):
                    continue
                if path.relative_to(ROOT / "lib").parts[0] in modules:
                    for line in source["lines"]:
                        counts[path][line["line_number"]] += line["count"]
    for module in modules:
        lines = ran = 0
        for path in sorted(path for path in counts if path.parent == ROOT / "lib" / module):
            text = path.read_text().split("\n")
            lines += len(counts[path])
            ran += sum(1 for count in counts[path].values() if count > 0)
            for number in sorted(number for number, count in counts[path].items() if count == 0):
                print(f"{path.relative_to(ROOT)}:{number}: {text[number - 1].strip()}")
        print(f"{module}: {ran} of {lines} lines, {100.0 * ran / max(lines, 1):.1f} %")


if __name__ == "__main__":
    main()
