#!/bin/sh
# Installs what the build needs, builds the program and shows what it says of an example.
set -eu
cd "$(dirname "$0")/.."
. app/packages.sh

# shellcheck disable=SC2086
need_packages $build_packages
# shellcheck disable=SC2046
[ -f build/demo/build.ninja ] || cmake -S . -B build/demo -G Ninja $(compiler build/demo) -DCMAKE_BUILD_TYPE=Release \
  -DDUCTLEDGER_TESTS=OFF -DDUCTLEDGER_UNITY=ON >&2
cmake --build build/demo --target ductledger_app -j 2 >&2

example=examples/gable-kitchen-up-through-roof.yaml
echo "\$ ductledger check $example"
# A finding is an answer, not a failure of the demonstration.
build/demo/app/ductledger check "$example" || [ $? -eq 1 ]
