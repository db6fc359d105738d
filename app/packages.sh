# Sourced by the scripts that build: installs Debian packages that are missing.
# need PACKAGE...

need() {
  missing=
  for package in "$@"; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'install ok installed' ||
      missing="$missing $package"
  done
  [ -z "$missing" ] && return 0
  echo "installing:$missing" >&2
  as_root=
  if [ "$(id -u)" -ne 0 ]; then
    as_root=sudo
    command -v sudo >/dev/null || {
      echo "no sudo here; as root: apt-get install$missing" >&2
      return 1
    }
  fi
  # shellcheck disable=SC2086
  install_missing || { $as_root apt-get update -q >&2 && install_missing; }
}

install_missing() {
  # shellcheck disable=SC2086
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends \
    $missing >&2
}

# shellcheck disable=SC2034
build_packages="g++ cmake ninja-build libeigen3-dev libboost-dev libyaml-cpp-dev libfmt-dev
  libcli11-dev nlohmann-json3-dev libtbb-dev"
# shellcheck disable=SC2034
test_packages="python3-fluids python3-scipy python3-yaml python3-jsonschema python3-ezdxf poppler-utils
  librapidcheck-dev libgtest-dev
  libbenchmark-dev pybind11-dev python3-numpy python3-distributed clang-format chromium"
# The page's engine is WebAssembly; emscripten's C++ library lacks std::ranges algorithms.
worksheet_packages="clang-19 lld-19 wasi-libc libc++-19-dev-wasm32 libc++abi-19-dev-wasm32
  libclang-rt-19-dev-wasm32"
# A machine may have Node from elsewhere, which Debian's own packages would conflict with.
command -v node >/dev/null || worksheet_packages="$worksheet_packages nodejs"
command -v npm >/dev/null || worksheet_packages="$worksheet_packages npm"
test_packages="$test_packages $worksheet_packages"

need_packages() {
  if command -v apt-get >/dev/null && command -v dpkg-query >/dev/null; then
    need "$@"
  else
    echo "no apt-get here; by their names in Debian 12 these are needed: $*" | tr -s ' \n' ' ' >&2
    echo >&2
  fi
}

# compiler BUILD-FOLDER: what to tell cmake of it. Where no build stands there yet and clang 19 is here,
# that compiles in half of g++ 12's time; a build that stands keeps its compiler.
compiler() {
  [ -f "$1/CMakeCache.txt" ] || ! command -v clang++-19 >/dev/null ||
    echo -DCMAKE_CXX_COMPILER=clang++-19
}
