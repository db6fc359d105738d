#!/usr/bin/env python3
"""Lines of modules that no test ran, out of the counts of lines that `llvm-cov export` wrote.

usage: tests/proof/uncovered.py FILE MODULE...
"""
import collections
import pathlib
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]


def counts_of(written):
    """Of each source, by its line, how often it ran; a line that stands in several programs once."""
    counts = collections.defaultdict(lambda: collections.defaultdict(int))
    path = None
    for line in written.split("\n"):
        key, _, value = line.partition(":")
        if key == "SF":
            path = pathlib.Path(value).resolve()
        elif key == "DA":
            number, count = map(int, value.split(",")[:2])
            counts[path][number] += count
    return counts


def main():
    counts, modules = counts_of(pathlib.Path(sys.argv[1]).read_text()), sys.argv[2:]
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
