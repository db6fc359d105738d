#!/bin/sh
# The thread sanitizer over what runs on threads, of the preset `threads`. oneTBB itself is not
# built with the sanitizer: tests/support/thread.supp leaves out what it calls, nothing else.
# usage: tests/proof/threads.sh
set -eu
cd "$(dirname "$0")/../.."
[ -f build/threads/CMakeCache.txt ] || cmake --preset threads >/dev/null
cmake --build --preset threads
program=build/threads/app/ductledger
log=$(mktemp -d)
trap 'rm -rf "$log"' EXIT
TSAN_OPTIONS="suppressions=$PWD/tests/support/thread.supp exitcode=99"
export TSAN_OPTIONS
failed=0
calls=0
say() {
  calls=$((calls + 1))
  code=0
  "$program" "$@" >"$log/out" 2>"$log/err" || code=$?
  case $code in
  0 | 1) ;;
  *)
    failed=$((failed + 1))
    echo "$*: exit $code"
    cat "$log/err"
    ;;
  esac
}
kitchen=examples/gable-kitchen-up-through-roof.yaml
round=examples/row-house-round-or-flat.yaml
say batch examples
say batch examples/branches
say compare "$round"
say compare "$kitchen" "$round"
say sweep "$kitchen" --vary 'run.pieces[3].length=2ft..40ft:64'
say sweep "$kitchen" --sample 'run.pieces[3].length=uniform(2ft, 20ft)' --draws 500
for layout in examples/*.yaml examples/branches/*.yaml; do
  say check "$layout"
  say size "$layout" --deliver 100cfm
done
echo "threads: $calls calls, $failed not clean"
[ "$failed" -eq 0 ]
