# Shell functions shared by captures/demo.sh, tests/run.sh and .ci/run: installing what is missing.
# Sourced, not run. POSIX sh.

# What building the program needs, as Debian and Ubuntu name it.
BUILD_PACKAGES="g++ make cmake pkg-config libfftw3-dev libsndfile1-dev libpng-dev libutf8proc-dev libcli11-dev libfmt-dev
nlohmann-json3-dev libeigen3-dev libkainjow-mustache-dev libtbb-dev libfast-float-dev
libavformat-dev libavcodec-dev libavutil-dev libswscale-dev"
# What the test suite needs beside it.
TEST_PACKAGES="catch2 python3"
# What some of its checks compare with; where a system does not have one, those checks say so and are skipped.
WITNESS_PACKAGES="python3-numpy python3-scipy python3-jsonschema ffmpeg chromium chromium-driver parallel slurm-wlm munge"
# What the benches time themselves against and with; they print less without.
BENCH_PACKAGES="libbenchmark-dev python3-pandas"

say() { printf '%s\n' "$*" >&2; }

missing_packages() {
  for package in "$@"; do
    dpkg-query -W -f='${Status}\n' "$package" 2>/dev/null | grep -q '^install ok installed$' ||
      printf '%s ' "$package"
  done
}

# install_packages NAME...: installs what is missing with apt, or says what to install and stops.
install_packages() {
  if ! command -v apt-get >/dev/null 2>&1 || ! command -v dpkg-query >/dev/null 2>&1; then
    if command -v cmake >/dev/null 2>&1 && command -v pkg-config >/dev/null 2>&1; then
      say "No apt here; going on with what is installed. If the build fails, install the equivalents of:"
      say "  $(echo "$@")"
      return 0
    fi
    say "This system has no apt. Please install the equivalents of these packages and run again:"
    say "  $(echo "$@")"
    say "(a C++20 compiler, CMake 3.22+, pkg-config, FFTW 3, libsndfile, libpng, utf8proc, CLI11, fmt,"
    say " nlohmann-json, Eigen 3, kainjow mustache, oneTBB, fast_float; to open MP4 and the like also FFmpeg's"
    say " libraries; for the tests also Catch2)"
    exit 1
  fi
  absent=$(missing_packages "$@")
  [ -z "$absent" ] && return 0
  as_root=""
  if [ "$(id -u)" != 0 ]; then
    if ! command -v sudo >/dev/null 2>&1; then
      say "These packages are missing and installing them needs root. Please run, as root:"
      say "  apt-get install $absent"
      exit 1
    fi
    as_root="sudo"
  fi
  say "Installing: $absent"
  export DEBIAN_FRONTEND=noninteractive
  # shellcheck disable=SC2086
  $as_root apt-get update -qq >&2 &&
    $as_root apt-get install -y -qq --no-install-recommends $absent >&2 || {
      say "apt could not install: $absent"
      say "Check the network and the package sources ('apt-get update'), then run this again."
      exit 1
    }
}

# install_where_available NAME...: the same, leaving out what this system's package lists do not know.
install_where_available() {
  known=""
  for package in $(missing_packages "$@"); do
    if apt-cache show "$package" >/dev/null 2>&1; then
      known="$known $package"
    else
      say "No package $package here; the checks that use it will be skipped."
    fi
  done
  # shellcheck disable=SC2086
  [ -z "$known" ] || install_packages $known
}

# build FOLDER TARGET [CMAKE-OPTION...]: configures and builds; all of it when TARGET is "all". A new folder
# compiles ten files as one, in less than half the time; a folder that is there stays as it was configured.
build() {
  folder=$1
  target=$2
  shift 2
  [ -e "$folder/CMakeCache.txt" ] || set -- "$@" -DCMAKE_UNITY_BUILD=ON -DCMAKE_UNITY_BUILD_BATCH_SIZE=10
  cmake -S . -B "$folder" "$@" >"/tmp/lampbeat-configure.$$" 2>&1 || {
    cat "/tmp/lampbeat-configure.$$" >&2
    rm -f "/tmp/lampbeat-configure.$$"
    exit 1
  }
  rm -f "/tmp/lampbeat-configure.$$"
  cmake --build "$folder" --parallel "$(nproc 2>/dev/null || echo 2)" --target "$target" >&2
}
