#!/bin/sh
# Valgrind over the examples: no read of what was never written, none out of bounds, nothing lost.
# usage: tests/proof/valgrind.sh [PROGRAM]   default: build/release/app/ductledger
set -eu
cd "$(dirname "$0")/../.."
program=${1:-build/release/app/ductledger}
log=$(mktemp -d)
trap 'rm -rf "$log"' EXIT
failed=0
calls=0
for layout in examples/*.yaml examples/branches/*.yaml; do
  for command in check review size parts; do
    calls=$((calls + 1))
    code=0
    valgrind --quiet --leak-check=full --errors-for-leak-kinds=definite --error-exitcode=99 \
      --log-file="$log/valgrind" "$program" "$command" "$layout" >"$log/out" 2>&1 || code=$?
    case $code in
    0 | 1 | 2) ;;  # what the command itself says
    *)
      failed=$((failed + 1))
      echo "$command $layout: exit $code"
      cat "$log/valgrind"
      ;;
    esac
  done
done
echo "valgrind: $calls calls, $failed not clean"
[ "$failed" -eq 0 ]
