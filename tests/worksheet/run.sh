#!/bin/sh
# The worksheet. usage: tests/worksheet/run.sh edit | page DUCTLEDGER [--sequences N]
# WORKSHEET names a page that was built by hand; else the program hands out its own.
# Exit status 77 (skipped) where Chromium, Node or the page cannot be had, and says so.
set -eu
what=$1
shift
cd "$(dirname "$0")"
. ../../app/packages.sh
have() { command -v npm >/dev/null && { [ "$what" = edit ] || command -v chromium >/dev/null; }; }
have || need_packages chromium nodejs npm >/dev/null 2>&1 || true
if ! have; then
  echo "skipped: chromium, nodejs and npm are not installed and cannot be"
  exit 77
fi
packages() {
  [ -d "$1/node_modules/$2" ] || (cd "$1" && npm install --silent) || {
    echo "skipped: the packages of $1 cannot be had from npm"
    exit 77
  }
}
if [ "$what" = edit ]; then
  packages ../../app/worksheet yaml
  packages . typescript
  node_modules/.bin/tsc -p ../../app/worksheet/page
  exec node --test edit.test.mjs route.test.mjs
fi
packages . playwright-core
program=$1
shift
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
page=${WORKSHEET:-$folder/worksheet.html}
if [ -z "${WORKSHEET:-}" ] && ! "$program" worksheet -o "$page"; then
  echo "skipped: the program was built without its worksheet"
  exit 77
fi
CHROMIUM=$(command -v chromium) node page.cjs "$program" "$page" "$@"
