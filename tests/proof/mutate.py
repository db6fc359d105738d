#!/usr/bin/env python3
"""Whether the tests see a wrong sign: flips operators and constants of the physics modules one at a
time, runs the module's unit tests, then the other units, the published and the property tests until
one fails, and lists the changes that none fails on. Of the property tests the slow ones, on bands of
thousands of pieces and on verdicts, are left out, and the others try 20 cases. The sources here stay as
they are: it works on a copy under build/mutate.

usage: tests/proof/mutate.py [--count N] [--seconds N] [--seed N] [--modules duct,fan] [--list]
  --count    how many changes are tried at most (default 150)
  --seconds  no further change is begun after so long (default 1800); fewer than --count are then a
             choice of sources, no longer one of chance
  --seed     of the order in which changes are tried (default 1)
  --modules  default duct,fan,solve,house,air,network
  --file     only sources whose path holds this
  --at       only changes of this line, as PATH:LINE
  --tests    only these test programs, by their names with commas between
  --slow     slow tests that are run too, such as ManyPieces
  --jobs     of the build (default 1)
  --list     print every change there is and stop
"""
import argparse
import collections
import os
import pathlib
import random
import re
import resource
import shutil
import subprocess
import sys
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
WORK = ROOT / "build" / "mutate"
TREE = WORK / "tree"
BUILD = WORK / "build"
MODULES = ["duct", "fan", "solve", "house", "air", "network"]
# What looks at views is left out, and these are not built.
OF_VIEWS = ["tests/property/rough_in_test.cpp", "tests/property/route_test.cpp",
            "tests/published/traverse_test.cpp"]
# clang-format puts blanks around binary operators alone, so these are no pointers and templates.
OPERATORS = {" + ": " - ", " - ": " + ", " * ": " / ", " / ": " * ", " < ": " >= ", " <= ": " > ",
             " > ": " <= ", " >= ": " < ", " == ": " != ", " != ": " == ", " && ": " || ",
             " || ": " && ", " += ": " -= ", " -= ": " += ", " *= ": " /= ", " /= ": " *= "}
OPERATOR = re.compile("|".join(re.escape(o) for o in sorted(OPERATORS, key=len, reverse=True)))
NUMBER = re.compile(r"(?<![\w.])\d+\.\d+(?:e[-+]?\d+)?(?![\w.])")
BUILD_SECONDS = 600
TEST_SECONDS = 40
# Of each property so many cases, the same ones each time.
CASES = {"RC_PARAMS": "max_success=20 seed=1"}
# What takes most of a program's time, left out.
SLOW = {"property_tests": "VerdictTable.*:ManyPieces.*:*EvenSamples.*",
        "unit_study": "Compare.finds_what_changed_between_thousands_of_pieces"}


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
    """True: it ended well; False: it did not, or not within so much of a processor's time (a loop
    without an end). Of the clock it may take twenty times as long, where much else runs."""
    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
    try:
        return subprocess.run(command, cwd=TREE, timeout=20 * seconds, preexec_fn=limit,
                              env=os.environ | CASES, stdout=subprocess.DEVNULL,
                              stderr=subprocess.DEVNULL, check=False).returncode == 0
    except subprocess.TimeoutExpired:
        return False


def build(target, jobs):
    return run(["ninja", "-C", str(BUILD), "-j", str(jobs), target], BUILD_SECONDS)


def passes(target):
    return run([str(BUILD / "tests" / target), "--gtest_brief=1", "--gtest_fail_fast",
                f"--gtest_filter=-{SLOW.get(target, '')}"], TEST_SECONDS)


def options():
    """Each source of the modules that are changed is compiled alone, all others several at a time."""
    yield from ("-DCMAKE_BUILD_TYPE=None", "-DCMAKE_CXX_FLAGS=-O1", "-DDUCTLEDGER_PYTHON=OFF",
                "-DDUCTLEDGER_UNITY=ON", f"-DDUCTLEDGER_ALONE={';'.join(MODULES)}",
                "-DCMAKE_GTEST_DISCOVER_TESTS_DISCOVERY_MODE=PRE_TEST")
    if shutil.which("clang++-19"):  # compiles in half of g++ 12's time
        yield "-DCMAKE_CXX_COMPILER=clang++-19"
    if shutil.which("ld.lld-19" if shutil.which("clang++-19") else "ld.lld"):
        yield "-DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld"


def prepare(targets, jobs):
    TREE.mkdir(parents=True, exist_ok=True)
    listed = subprocess.run(["git", "ls-files", "-co", "--exclude-standard"], cwd=ROOT, check=True,
                            capture_output=True, text=True).stdout.split("\n")
    for name in filter(None, listed):
        source, copy = ROOT / name, TREE / name
        if name in OF_VIEWS or not source.is_file():
            copy.unlink(missing_ok=True)
            continue
        content = source.read_bytes()
        if name == "tests/CMakeLists.txt":
            content = content.replace(b"${kind}_tests ductledger ", b"${kind}_tests ductledger_spine ")
        if not copy.is_file() or copy.read_bytes() != content:
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_bytes(content)
    configured = subprocess.run(["cmake", "-S", str(TREE), "-B", str(BUILD), "-G", "Ninja", *options()],
                                capture_output=True, text=True, check=False)
    if configured.returncode != 0 or not all(build(target, jobs) for target in targets):
        sys.exit("mutate: the unchanged sources do not build\n" + configured.stderr)
    failing = [target for target in targets if not passes(target)]
    if failing:
        sys.exit(f"mutate: tests fail on the unchanged sources: {', '.join(failing)}")


def fails(change, targets, jobs):
    """The first target that does, the module's own one before all others, the slow ones last."""
    own = f"unit_{change['path'].parts[1]}"
    for target in sorted(targets, key=lambda target: target != own):
        if not build(target, jobs):
            return "not built"
        if not passes(target):
            return target
    return None


def main():
    parser = argparse.ArgumentParser(usage=__doc__)
    parser.add_argument("--count", type=int, default=150)
    parser.add_argument("--seconds", type=int, default=1800)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--modules", default=",".join(MODULES))
    parser.add_argument("--file", default="")
    parser.add_argument("--at", default="")
    parser.add_argument("--tests", default="")
    parser.add_argument("--slow", default="")
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--list", action="store_true")
    asked = parser.parse_args()
    changes = [change for path in sources(asked.modules.split(","))
               if asked.file in str(path) for change in changes_of(path)
               if asked.at in ("", f"{change['path']}:{change['line']}")]
    if asked.list:
        for change in changes:
            print(f"{change['path']}:{change['line']}: {change['flip']}: {change['was']}")
        print(f"mutate: {len(changes)} changes")
        return 0
    random.Random(asked.seed).shuffle(changes)
    units = [f"unit_{module}" for module in MODULES
             if list((ROOT / "tests" / "unit" / module).glob("*_test.cpp"))]
    for target, left_out in SLOW.items():
        SLOW[target] = ":".join(one for one in left_out.split(":")
                                if not asked.slow or asked.slow not in one)
    targets = asked.tests.split(",") if asked.tests else [
        *units, "published_tests", "unit_result", "unit_study", "property_tests"]
    prepare(targets, asked.jobs)
    print(f"mutate: {len(changes)} changes, seed {asked.seed}", flush=True)
    started = time.monotonic()
    killed, not_built, survivors = collections.Counter(), 0, []
    # One source after the other: what was changed last has to be compiled once more.
    sample = sorted(changes[:asked.count], key=lambda change: change["path"])
    for change in sample:
        if time.monotonic() - started > asked.seconds:
            break
        copy = TREE / change["path"]
        text = copy.read_text()
        copy.write_text(text[:change["start"]] + change["new"] + text[change["end"]:])
        try:
            by = fails(change, targets, asked.jobs)
        finally:
            copy.write_text(text)
        if by == "not built":
            not_built += 1
        elif by is None:
            survivors.append(change)
            print(f"survives: {change['path']}:{change['line']}: {change['flip']}: {change['was']}",
                  flush=True)
        else:
            killed[by] += 1
    seconds = time.monotonic() - started
    tried = killed.total() + len(survivors) + not_built
    print("mutate: " + ", ".join(f"{count} killed by {by}" for by, count in killed.most_common()))
    print(f"mutate: {killed.total()} killed, {len(survivors)} survive, {not_built} did not compile of "
          f"{tried} tried of {len(changes)} changes; seed {asked.seed}, {seconds:.0f} s, "
          f"{seconds / max(tried, 1):.1f} s each")
    return 1 if survivors else 0


if __name__ == "__main__":
    sys.exit(main())
