#!/bin/sh
# What changed since a commit, looked at by itself: each header compiles alone, and clang-tidy has
# nothing to say of each source. Not in ctest, because a source takes it ten seconds.
# usage: tests/lint/changed.sh [COMMIT]   default: the commit before the newest
# Stops to begin new ones after DUCTLEDGER_LINT_SECONDS (default 240) and says how many are left.
set -eu
cd "$(dirname "$0")/../.."
base=${1:-HEAD~1}
limit=${DUCTLEDGER_LINT_SECONDS:-240}

git rev-parse -q --verify "$base" >/dev/null || {
  echo "lint: no commit $base here: nothing to compare with"
  exit 0
}
changed=$(git diff --name-only --diff-filter=d "$base" -- 'lib/*.hpp' 'lib/*.cpp' 'app/*.hpp' 'app/*.cpp')
[ -n "$changed" ] || {
  echo "lint: no source changed since $base"
  exit 0
}

cmake --preset tidy -DDUCTLEDGER_TESTS=OFF >/dev/null
commands=build/tidy/compile_commands.json
started=$(date +%s)
looked=0
left=0
failed=0
for file in $changed; do
  if [ $(($(date +%s) - started)) -ge "$limit" ]; then
    left=$((left + 1))
    continue
  fi
  looked=$((looked + 1))
  case $file in
  *.hpp) python3 tests/lint/compiles_alone.py "$commands" "$file" || failed=1 ;;
  *.cpp) clang-tidy --quiet --warnings-as-errors='*' -p build/tidy "$file" 2>/dev/null || failed=1 ;;
  esac
done
echo "lint: $looked of $((looked + left)) changed sources looked at since $base"
[ "$failed" -eq 0 ]
