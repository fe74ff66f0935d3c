#!/bin/sh
# Installs into a scratch folder, then uses it as another project would: by CMake and by pkg-config.
set -eu
cd "$(dirname "$0")/.."
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

cmake --install build --prefix "$scratch/usr" >/dev/null
for file in bin/lampbeat share/man/man1/lampbeat.1 share/bash-completion/completions/lampbeat \
  share/lampbeat/schemas/measure.schema.json; do
  [ -e "$scratch/usr/$file" ] || { echo "install.sh: $file was not installed" >&2; exit 1; }
done

# A container opens by the installed module, not by the one beside the build.
if [ -e build/lampbeat_containers.so ] && command -v ffmpeg >/dev/null 2>&1; then
  "$scratch/usr/bin/lampbeat" synth "$scratch/clip.y4m" --mains 60 --component 120:40 --fps 25 --shutter 1/400 \
    --readout 16ms --rows 120 --seconds 2 2>/dev/null
  ffmpeg -v error -i "$scratch/clip.y4m" -c:v ffv1 "$scratch/clip.mkv"
  module=$(find "$scratch/usr" -name lampbeat_containers.so)
  [ -n "$module" ] || { echo "install.sh: the module for containers was not installed" >&2; exit 1; }
  LD_DEBUG=files LD_DEBUG_OUTPUT="$scratch/loaded" "$scratch/usr/bin/lampbeat" footage "$scratch/clip.mkv" \
    >"$scratch/said" 2>&1 ||
    { cat "$scratch/said" >&2; echo "install.sh: the installed program opens no container" >&2; exit 1; }
  grep -q "file=$module" "$scratch"/loaded.* ||
    { echo "install.sh: another module than the installed one was loaded" >&2; exit 1; }
else
  echo "install.sh: passed over the module for containers: no FFmpeg here" >&2
fi

mkdir "$scratch/user"
cat >"$scratch/user/main.cpp" <<'CODE'
#include <cstdio>

#include "lampbeat/lampbeat.hpp"

int main() {
  const lampbeat::LightShare panel{lampbeat::typical_light("led-rippled", 50.0), 1.0};
  const lampbeat::Shot shot{{25, 1}, 1.0 / 50.0, 0.016, 1080};
  const lampbeat::Prediction p = lampbeat::predict({&panel, 1}, shot, {});
  std::printf("%s\n", lampbeat::verdict_word(p.nominal.verdict));
  return p.nominal.band_percent < 0.01 ? 0 : 1;
}
CODE
cat >"$scratch/user/CMakeLists.txt" <<'CODE'
cmake_minimum_required(VERSION 3.22)
project(user CXX)
find_package(lampbeat REQUIRED)
add_executable(user main.cpp)
target_link_libraries(user PRIVATE lampbeat::lampbeat)
CODE
cmake -S "$scratch/user" -B "$scratch/user/build" -DCMAKE_PREFIX_PATH="$scratch/usr" >/dev/null
cmake --build "$scratch/user/build" >/dev/null
[ "$("$scratch/user/build/user")" = clean ] || { echo "install.sh: the CMake user failed" >&2; exit 1; }

pc=$(find "$scratch/usr" -name lampbeat.pc)
flags=$(PKG_CONFIG_PATH=$(dirname "$pc") pkg-config --cflags --libs lampbeat)
# shellcheck disable=SC2086
c++ -std=c++20 "$scratch/user/main.cpp" -o "$scratch/user/by-pkg-config" $flags
"$scratch/user/by-pkg-config" >/dev/null || { echo "install.sh: the pkg-config user failed" >&2; exit 1; }
echo "installed, and used through CMake and pkg-config"
