#!/usr/bin/env python3
"""A header compiles by itself: it includes what it uses.

usage: compiles_alone.py COMPILE_COMMANDS HEADER...

Each header is compiled with the options of a source beside it, nothing precompiled.
"""
import json
import os
import shlex
import subprocess
import sys


def options_of(folder, commands):
    """The options of a source of that folder, or of the nearest folder above that has one."""
    while folder:
        for entry in commands:
            if os.path.dirname(os.path.realpath(entry["file"])) == folder:
                words = shlex.split(entry["command"])
                return words[: words.index("-o")]
        folder = os.path.dirname(folder) if folder != os.path.dirname(folder) else ""
    return []


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        commands = json.load(file)
    failed = False
    for header in map(os.path.realpath, sys.argv[2:]):
        words = options_of(os.path.dirname(header), commands)
        if not words:
            print(f"{header}: no source beside it", file=sys.stderr)
            failed = True
            continue
        alone = subprocess.run(
            words + ["-x", "c++", "-fsyntax-only", "-include", header, os.devnull], check=False
        )
        failed |= alone.returncode != 0
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
