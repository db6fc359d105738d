#!/bin/sh
# Which lines of the physics modules no test reaches: builds the preset `coverage`, runs the unit,
# property and published tests and asks gcov.
# usage: tests/proof/coverage.sh
set -eu
cd "$(dirname "$0")/../.."
build=build/coverage
modules='air duct fan solve house network'
[ -f "$build/CMakeCache.txt" ] || cmake --preset coverage >/dev/null
cmake --build "$build" -j 2 --target ductledger_quick_spine property_tests published_tests
find "$build" -name '*.gcda' -delete
for program in "$build"/tests/unit_* "$build"/tests/property_tests "$build"/tests/published_tests; do
  [ -x "$program" ] && [ -f "$program" ] || continue
  "$program" --gtest_brief=1 || echo "coverage: $program fails" >&2
done
# shellcheck disable=SC2086
exec python3 tests/proof/uncovered.py "$build" $modules
