#!/bin/sh
# Runs each fuzz target for a while from seeds of this repository, with the words of the examples as
# its dictionary, and says its figures: inputs tried, edges covered, the slowest input, faults found.
# An input that takes ten seconds under the sanitizers is a fault. Exit 1 with the inputs.
# usage: tests/fuzz/run.sh [SECONDS] [TARGET...]
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-60}
[ $# -gt 0 ] && shift
targets=${*:-fuzz_layout fuzz_catalogue fuzz_rules fuzz_quantity fuzz_lines fuzz_options}
build=build/fuzz
. app/packages.sh
need_packages clang-19 libclang-rt-19-dev >/dev/null
[ -f "$build/CMakeCache.txt" ] || cmake --preset fuzz >/dev/null
# shellcheck disable=SC2086
cmake --build "$build" -j 1 --target $targets >"$build/fuzz.log" 2>&1 || { tail -20 "$build/fuzz.log"; exit 2; }
cat examples/*.yaml examples/branches/*.yaml fittings/*/*.yaml lib/rules/data/*.yaml |
  grep -oE '[a-z]+([-_][a-z]+)*(: )?' | sort -u | sed 's/.*/"&"/' >"$build/words"
seed() {  # FILE...: each by its whole path, as some have one name
  for file in "$@"; do
    cp "$file" "$seeds/$(echo "$file" | tr / -)"
  done
}
status=0
for target in $targets; do
  seeds=$build/seeds/$target
  found=$build/found/$target
  mkdir -p "$seeds" "$found"
  case $target in
    fuzz_layout) seed examples/*.yaml examples/branches/*.yaml tests/hostile/layouts/*.yaml \
        tests/regression/one_fault/*.yaml ;;
    fuzz_catalogue) seed fittings/*/*.yaml ;;
    fuzz_rules) seed lib/rules/data/*.yaml ;;
    fuzz_quantity) for text in '6 ft 6 in' '3-1/4 in' '0 250 450 cfm' '10 x 3-1/4 in' '8 in round' '0.5 in.w.g.'; do
        printf %s "$text" >"$seeds/$(printf %s "$text" | cksum | cut -d' ' -f1)"
      done ;;
    fuzz_options) for line in 'check a.yaml --speed high --samples 100 --units si' 'size a.yaml --deliver 400cfm --within 0.25inH2O' \
        'parts a.yaml --clearance 1in --overlap 1in --stock 5ft' 'sweep a.yaml --vary run.pieces[3].length=2ft..40ft:20 --draws 10 --seed 1' \
        'sweep a.yaml --sample house.leakage.airflow=lognormal(900cfm,40%)'; do
        printf %s "$line" | tr ' ' '\n' >"$seeds/$(printf %s "$line" | cksum | cut -d' ' -f1)"
      done ;;
    fuzz_lines) printf '"a.yaml"\n{"path": "b.yaml"}\n{"text": "layout: 1", "name": "c"}\n' >"$seeds/lines" ;;
  esac
  log=$found/log
  code=0
  "$build/tests/fuzz/$target" -max_total_time="$seconds" -rss_limit_mb=2048 -timeout=10 -report_slow_units=2 \
    -max_len=8192 -dict="$build/words" -print_final_stats=1 -artifact_prefix="$found/" "$seeds" >"$log" 2>&1 || code=$?
  runs=$(sed -n 's/^Done \([0-9]*\) runs.*/\1/p' "$log")
  edges=$(sed -n 's/.*cov: \([0-9]*\).*/\1/p' "$log" | tail -1)
  slowest=$(sed -n 's/^stat::slowest_unit_time_sec: *//p' "$log")
  echo "$target: ${runs:-stopped} inputs, ${edges:-no} edges, slowest ${slowest:-?} s, exit $code"
  if [ "$code" -ne 0 ]; then
    status=1
    ls "$found"
  fi
done
exit $status
