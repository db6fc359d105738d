#!/bin/sh
# Installs what the worksheet needs, builds it into the program, and writes the page.
set -eu
cd "$(dirname "$0")/.."
. app/packages.sh

# shellcheck disable=SC2086
need_packages $build_packages $worksheet_packages
cmake -S . -B build/worksheet -G Ninja -DCMAKE_BUILD_TYPE=Release \
  -DDUCTLEDGER_TESTS=OFF -DDUCTLEDGER_UNITY=ON -DDUCTLEDGER_WORKSHEET=ON >&2
cmake --build build/worksheet --target ductledger_app -j 2 >&2

build/worksheet/app/ductledger worksheet -o build/worksheet/worksheet.html
echo "build/worksheet/worksheet.html: open it in a browser; it needs no network"
