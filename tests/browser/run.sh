#!/bin/sh
# The report page in Chromium. usage: tests/browser/run.sh DUCTLEDGER
# Exit status 77 (skipped) where no Chromium or no Node can be had, and says so.
set -eu
program=$1
cd "$(dirname "$0")"
. ../../app/packages.sh
chromium=$(command -v chromium || true)
if [ -z "$chromium" ] || ! command -v npm >/dev/null; then
  need_packages chromium nodejs npm >/dev/null 2>&1 || true
  chromium=$(command -v chromium || true)
fi
if [ -z "$chromium" ] || ! command -v npm >/dev/null; then
  echo "skipped: chromium, nodejs and npm are not installed and cannot be"
  exit 77
fi
if [ ! -d node_modules/playwright-core ] || [ ! -d node_modules/axe-core ]; then
  npm install --silent || {
    echo "skipped: playwright-core and axe-core cannot be had from npm"
    exit 77
  }
fi
CHROMIUM=$chromium exec node report.cjs "$program" ../../examples
