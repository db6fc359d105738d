#!/bin/sh
# Installs what build and tests need, builds, runs every test. Ends with ctest's own summary.
set -eu
cd "$(dirname "$0")/.."
. app/packages.sh

# shellcheck disable=SC2086
need_packages $build_packages $test_packages
cmake --preset release
cmake --build --preset release -j 2
exec ctest --test-dir build/release --output-on-failure -j 2
