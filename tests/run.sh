#!/bin/sh
# Installs what is missing, builds, and runs the whole default test suite.
#   sh tests/run.sh [ctest options]
set -eu
cd "$(dirname "$0")/.."
. .ci/packages.sh

# shellcheck disable=SC2086
install_packages $BUILD_PACKAGES $TEST_PACKAGES
# shellcheck disable=SC2086
install_where_available $WITNESS_PACKAGES
build build all -DCMAKE_BUILD_TYPE=Release -DLAMPBEAT_TESTS=ON
cd build
exec ctest --output-on-failure --parallel "$(nproc 2>/dev/null || echo 2)" "$@"
