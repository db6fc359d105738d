#!/bin/sh
# The thread sanitizer over what runs on threads, of the preset `threads`. oneTBB itself is not
# built with the sanitizer: tests/support/thread.supp leaves out its own tasks, nothing else.
# usage: tests/proof/threads.sh
set -eu
cd "$(dirname "$0")/../.."
. app/packages.sh
need_packages llvm-19 >/dev/null  # without names of functions nothing is left out
# shellcheck disable=SC2046
[ -f build/threads/CMakeCache.txt ] || cmake --preset threads $(compiler build/threads) >/dev/null
cmake --build --preset threads -j 1
program=build/threads/app/ductledger
log=$(mktemp -d)
trap 'rm -rf "$log"' EXIT
TSAN_OPTIONS="suppressions=$PWD/tests/support/thread.supp exitcode=99
  external_symbolizer_path=$(command -v llvm-symbolizer-19 || command -v llvm-symbolizer)"
export TSAN_OPTIONS
failed=0
calls=0
begun=$(date +%s)
say() {
  calls=$((calls + 1))
  code=0
  "$program" "$@" >"$log/out" 2>"$log/err" || code=$?
  case $code in
  0 | 1) ;;
  2) grep -q 'error:' "$log/err" "$log/out" || code=bad ;;  # what the command itself says
  *) code=bad ;;
  esac
  if [ "$code" = bad ] || grep -q 'ThreadSanitizer' "$log/err"; then
    failed=$((failed + 1))
    echo "$*: not clean"
    cat "$log/err"
  fi
}
# A race on purpose has to be told, and by its own name.
"$(dirname "$program")/../tests/proof/race" 2>"$log/err" && code=0 || code=$?
if [ "$code" -ne 99 ] || ! grep -q 'data race .*race\.cpp' "$log/err"; then
  echo "threads: a race made on purpose is not told (exit $code)"
  cat "$log/err"
  exit 1
fi
kitchen=examples/gable-kitchen-up-through-roof.yaml
round=examples/row-house-round-or-flat.yaml
house=examples/tight-bungalow-makeup-duct.yaml
branches=examples/branches/two-bathrooms-and-utility-room.yaml
say batch examples
say batch examples --study review
say batch examples/branches
say check examples/*.yaml "$branches"
say check --advise --json examples/*.yaml
say review examples/*.yaml
say compare "$round"
say compare "$kitchen" "$round"
say sweep "$kitchen" --vary 'run.pieces[3].length=2ft..40ft:64'
say sweep "$kitchen" --sample 'run.pieces[3].length=uniform(2ft, 20ft)' --draws 500
say size "$house" --makeup
say report "$kitchen" "$round" --review -o "$log/page.html"
for layout in examples/*.yaml examples/branches/*.yaml; do
  say check "$layout" --samples 2000
  say review "$layout"
  say size "$layout" --deliver 100cfm
done
echo "threads: $calls calls, $failed not clean, $(($(date +%s) - begun)) s"
[ "$failed" -eq 0 ]
