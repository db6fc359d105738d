#!/bin/sh
# Installs what build and tests need, builds, runs every test. Ends with ctest's own summary.
set -eu
cd "$(dirname "$0")/.."
. app/packages.sh

# shellcheck disable=SC2086
need_packages $build_packages $test_packages
worksheet=OFF
command -v clang++-19 >/dev/null && command -v npm >/dev/null &&
  (cd app/worksheet && npm install --silent --no-package-lock) && worksheet=ON
[ $worksheet = ON ] ||
  echo "without the worksheet: clang++-19, npm or what npm should get are not here" >&2
# shellcheck disable=SC2046
cmake --preset release $(compiler build/release) -DDUCTLEDGER_WORKSHEET=$worksheet -DDUCTLEDGER_BENCH=ON
cmake --build --preset release -j 2
# Three on two cores: those in a browser wait for most of their time.
exec ctest --test-dir build/release --output-on-failure -j 3
