#!/bin/sh
# The Debian packages: written twice with the same bytes, without errors by lintian where that is
# installed, put into an empty root, used there and taken out again with nothing left.
# usage: deb.sh BUILD WORK EXAMPLE
set -eu
build=$1 work=$2 example=$3
rm -rf "$work"
mkdir -p "$work/one" "$work/two"
export SOURCE_DATE_EPOCH=1767225600

for copy in one two; do
  (cd "$build" && cpack -D CPACK_DEBIAN_COMPRESSION_TYPE=gzip -B "$work/$copy" >"$work/$copy.log" 2>&1) || {
    cat "$work/$copy.log"
    exit 1
  }
  (cd "$work/$copy" && sha256sum ./*.deb) >"$work/$copy.sums"
done
cmp "$work/one.sums" "$work/two.sums"

if command -v lintian >/dev/null; then
  lintian --fail-on error "$work"/one/*.deb >"$work/lintian.log" 2>&1 || {
    cat "$work/lintian.log"
    exit 1
  }
fi

root=$work/root
mkdir -p "$root/var/lib/dpkg/info" "$root/var/lib/dpkg/updates" "$root/var/lib/dpkg/triggers"
: >"$root/var/lib/dpkg/status"
: >"$root/var/lib/dpkg/available"
put() { # what is depended on stands outside this root
  dpkg --root="$root" --log=/dev/null --force-not-root --force-depends --force-bad-path \
    --force-script-chrootless "$@" >"$work/dpkg.log" 2>&1 || {
    cat "$work/dpkg.log"
    exit 1
  }
}
put -i "$work"/one/*.deb
"$root/usr/bin/ductledger" --version | grep -q '^ductledger '
"$root/usr/bin/ductledger" check "$example" >"$work/answer" || [ $? -eq 1 ]
grep -q delivers "$work/answer"
for part in share/man/man1/ductledger.1.gz share/doc/ductledger/copyright \
  share/doc/ductledger/ductledger.spdx.json share/bash-completion/completions/ductledger \
  share/ductledger/examples lib/libductledger.a include/ductledger/study/check.hpp; do
  # shellcheck disable=SC2086
  ls "$root"/usr/$part >/dev/null
done
python3 -m json.tool "$root/usr/share/doc/ductledger/ductledger.spdx.json" >/dev/null
put -r ductledger libductledger-dev
left=$(find "$root" -path "$root/var" -prune -o ! -type d -print)
[ -z "$left" ] || {
  echo "left behind: $left"
  exit 1
}
