#!/bin/sh
# Which lines of the physics modules no test reaches: builds the preset `coverage` with clang 19, runs
# the unit, property and published tests and reads their counts.
# usage: tests/proof/coverage.sh
set -eu
cd "$(dirname "$0")/../.."
. app/packages.sh
need_packages clang-19 llvm-19 lld-19 >/dev/null
build=build/coverage
modules='air duct fan numeric solve house network'
[ -f "$build/CMakeCache.txt" ] || cmake --preset coverage >/dev/null
cmake --build "$build" -j 1 --target ductledger_quick_spine property_tests published_tests
counts=$build/counts
rm -rf "$counts"
mkdir -p "$counts"
objects=
for program in "$build"/tests/unit_* "$build"/tests/property_tests "$build"/tests/published_tests; do
  [ -x "$program" ] && [ -f "$program" ] || continue
  LLVM_PROFILE_FILE=$counts/$(basename "$program").raw "$program" --gtest_brief=1 ||
    echo "coverage: $program fails" >&2
  objects="$objects --object $program"
done
llvm-profdata-19 merge -sparse -o "$counts/all" "$counts"/*.raw
# shellcheck disable=SC2086
llvm-cov-19 export --format=lcov --skip-expansions --instr-profile "$counts/all" $objects >"$counts/lines"
# shellcheck disable=SC2086
exec python3 tests/proof/uncovered.py "$counts/lines" $modules
