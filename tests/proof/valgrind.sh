#!/bin/sh
# Valgrind over the examples, each command that reads a layout on a share of them in turn, and bad
# files: no read of what was never written, none out of bounds, nothing lost.
# usage: tests/proof/valgrind.sh [PROGRAM [EVERY]]
#   PROGRAM  default build/release/app/ductledger
#   EVERY    each command meets each so-manieth layout (default 4; 1: all)
set -eu
cd "$(dirname "$0")/../.."
program=${1:-build/release/app/ductledger}
every=${2:-4}
log=$(mktemp -d)
trap 'rm -rf "$log"' EXIT
failed=0
calls=0
begun=$(date +%s)
say() {
  calls=$((calls + 1))
  code=0
  valgrind --quiet --leak-check=full --errors-for-leak-kinds=definite --error-exitcode=99 \
    --log-file="$log/valgrind" "$program" "$@" >"$log/out" 2>&1 || code=$?
  case $code in
  0 | 1 | 2) ;;  # what the command itself says
  *)
    failed=$((failed + 1))
    echo "$*: exit $code"
    cat "$log/valgrind"
    ;;
  esac
}
kitchen=examples/gable-kitchen-up-through-roof.yaml
turn=0
share() {
  turn=$((turn + 1))
  [ $((turn % every)) -eq 0 ] || return 0
  say "$@"
}
for layout in examples/*.yaml examples/branches/*.yaml; do
  share check "$layout" --verbose
  share check "$layout" --json --advise
  share review "$layout"
  share review "$layout" --letter --json
  share review "$layout" --against "$kitchen"
  share size "$layout" --deliver 100cfm
  share size "$layout" --makeup
  share parts "$layout"
  share compare "$layout" "$kitchen"
  share commission "$layout"
  share measured "$layout" --static 0.2inH2O --json
  share report "$layout" --review -o "$log/page.html"
  share sweep "$layout" --vary 'run.pieces[1].length=1ft..9ft:2'
  share fmt "$layout"
done
for file in tests/hostile/corpus/*.yaml tests/hostile/layouts/*.yaml; do
  share check "$file"
done
say batch examples --format csv
say fittings list
say explain irc-2021
say new "$log/new.yaml"
say help --as man
say --help
echo "valgrind: $calls calls, $failed not clean, $(($(date +%s) - begun)) s"
[ "$failed" -eq 0 ]
