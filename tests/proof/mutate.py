#!/usr/bin/env python3
"""Whether the tests see a wrong sign: flips operators and constants of the physics modules one at a
time, builds the module's unit tests, the other units of the spine and the published tests, and
lists the changes that no test fails on. The sources here stay as they are: it works on a copy under
build/mutate.

usage: tests/proof/mutate.py [--seconds N] [--seed N] [--modules duct,fan] [--list]
  --seconds  no further change is begun after so long (default 1500)
  --seed     of the order in which changes are tried (default 1)
  --modules  default duct,fan,solve,house,air,network
  --file     only sources whose path holds this
  --list     print every change there is and stop
"""
import argparse
import pathlib
import random
import re
import shutil
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
WORK = ROOT / "build" / "mutate"
TREE = WORK / "tree"
BUILD = WORK / "build"
MODULES = ["duct", "fan", "solve", "house", "air", "network"]
# clang-format puts blanks around binary operators alone, so these are no pointers and templates.
OPERATORS = {" + ": " - ", " - ": " + ", " * ": " / ", " / ": " * ", " < ": " >= ", " <= ": " > ",
             " > ": " <= ", " >= ": " < ", " == ": " != ", " != ": " == ", " && ": " || ",
             " || ": " && ", " += ": " -= ", " -= ": " += ", " *= ": " /= ", " /= ": " *= "}
OPERATOR = re.compile("|".join(re.escape(o) for o in sorted(OPERATORS, key=len, reverse=True)))
NUMBER = re.compile(r"(?<![\w.])\d+\.\d+(?:e[-+]?\d+)?(?![\w.])")
BUILD_SECONDS = 600
TEST_SECONDS = 120


def masked(text):
    """Comments, texts and characters blanked out, so that nothing within them is changed."""
    def blank(match):
        return re.sub(r"[^\n]", "\0", match.group())
    return re.sub(r'//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])+\'', blank, text,
                  flags=re.S)


def other_number(text):
    value = float(text)
    return "1.0" if value == 0.0 else f"({text} * 1.1)"


def changes_of(path):
    text = path.read_text()
    code = masked(text)
    for match in list(OPERATOR.finditer(code)) + list(NUMBER.finditer(code)):
        start = code.rfind("\n", 0, match.start()) + 1
        line = code[start:code.find("\n", match.start())].strip()
        # A precondition, a template's head and what is checked while compiling are no physics.
        if line.startswith(("#", "template", "static_assert", "DUCTLEDGER_EXPECTS", "using ")):
            continue
        found = match.group()
        new = OPERATORS.get(found) or other_number(found)
        yield {"path": path.relative_to(ROOT), "line": code.count("\n", 0, match.start()) + 1,
               "start": match.start(), "end": match.end(), "new": new,
               "was": text[start:text.find("\n", match.start())].strip(),
               "flip": f"{found.strip()} -> {new.strip()}"}


def sources(modules):
    for module in modules:
        folder = ROOT / "lib" / module
        yield from sorted([*folder.glob("*.cpp"), *folder.glob("*_internal.hpp")])


def run(command, seconds):
    """True: it ended well; False: it did not, or not in time (a loop without an end)."""
    try:
        return subprocess.run(command, cwd=TREE, timeout=seconds, stdout=subprocess.DEVNULL,
                              stderr=subprocess.DEVNULL, check=False).returncode == 0
    except subprocess.TimeoutExpired:
        return False


def build(targets):
    return run(["cmake", "--build", str(BUILD), "-j", "2", "--target", *targets], BUILD_SECONDS)


def passes(target):
    return run([str(BUILD / "tests" / target), "--gtest_brief=1"], TEST_SECONDS)


def prepare(targets):
    TREE.mkdir(parents=True, exist_ok=True)
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, check=True,
                            capture_output=True, text=True).stdout.split("\n")
    for name in filter(None, listed):
        source, copy = ROOT / name, TREE / name
        if not source.is_file():
            continue
        if not copy.is_file() or copy.read_bytes() != source.read_bytes():
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, copy)
    launcher = ["-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"] if shutil.which("ccache") else []
    linker = ["-DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld"] if shutil.which("ld.lld") else []
    configured = subprocess.run(
        ["cmake", "-S", str(TREE), "-B", str(BUILD), "-G", "Ninja", "-DCMAKE_BUILD_TYPE=None",
         "-DCMAKE_CXX_FLAGS=-O0", "-DDUCTLEDGER_PYTHON=OFF", *launcher, *linker],
        capture_output=True, text=True, check=False)
    if configured.returncode != 0 or not build(targets):
        sys.exit("mutate: the unchanged sources do not build\n" + configured.stderr)
    failing = [target for target in targets if not passes(target)]
    if failing:
        sys.exit(f"mutate: tests fail on the unchanged sources: {', '.join(failing)}")


def survives(change, targets):
    """The module's own tests first: they see most of it, and only they are built then."""
    module = change["path"].parts[1]
    own = f"unit_{module}"
    rest = [target for target in targets if target != own]
    for group in ([own] if own in targets else []), rest:
        if not build(group):
            return "not built"
        for target in group:
            if not passes(target):
                return target
    return None


def main():
    parser = argparse.ArgumentParser(usage=__doc__)
    parser.add_argument("--seconds", type=int, default=1500)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--modules", default=",".join(MODULES))
    parser.add_argument("--file", default="")
    parser.add_argument("--list", action="store_true")
    asked = parser.parse_args()
    changes = [change for path in sources(asked.modules.split(","))
               if asked.file in str(path) for change in changes_of(path)]
    if asked.list:
        for change in changes:
            print(f"{change['path']}:{change['line']}: {change['flip']}: {change['was']}")
        print(f"mutate: {len(changes)} changes")
        return 0
    random.Random(asked.seed).shuffle(changes)
    targets = [f"unit_{module}" for module in MODULES
               if list((ROOT / "tests" / "unit" / module).glob("*_test.cpp"))] + ["published_tests"]
    prepare(targets)
    print(f"mutate: {len(changes)} changes, seed {asked.seed}", flush=True)
    started = time.monotonic()
    killed, not_built, survivors = 0, 0, []
    for change in changes:
        if time.monotonic() - started > asked.seconds:
            break
        copy = TREE / change["path"]
        text = copy.read_text()
        copy.write_text(text[:change["start"]] + change["new"] + text[change["end"]:])
        try:
            by = survives(change, targets)
        finally:
            copy.write_text(text)
        if by == "not built":
            not_built += 1
        elif by is None:
            survivors.append(change)
            print(f"survives: {change['path']}:{change['line']}: {change['flip']}: {change['was']}",
                  flush=True)
        else:
            killed += 1
    print(f"mutate: {killed} killed, {len(survivors)} survive, {not_built} did not compile, "
          f"of {len(changes)}; seed {asked.seed}")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main())
