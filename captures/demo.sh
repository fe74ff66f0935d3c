#!/bin/sh
# The main job on the example captures of a small teaching kitchen:
# installs what is missing, builds, measures, predicts, plans, rates, and says where the pages are.
set -eu
cd "$(dirname "$0")/.."
. .ci/packages.sh

# shellcheck disable=SC2086
install_packages $BUILD_PACKAGES
build build lampbeat_program -DCMAKE_BUILD_TYPE=Release

lampbeat=build/lampbeat
pages=build/demo
mkdir -p "$pages"
heading() { printf '\n==== %s\n\n' "$*"; }

heading "How much does the panel over the worktop flicker?"
echo "\$ lampbeat measure captures/worktop-panel.wav --dark captures/dark.wav --save $pages/worktop.json"
$lampbeat measure captures/worktop-panel.wav --dark captures/dark.wav \
  --save "$pages/worktop.json" --report "$pages/worktop.html"

heading "Will a lesson filmed at 25 frames a second and 1/100 s show bands?"
echo "\$ lampbeat predict --light $pages/worktop.json --fps 25 --shutter 1/100 --readout 16ms"
$lampbeat predict --light "$pages/worktop.json" --fps 25 --shutter 1/100 --readout 16ms \
  --picture "$pages/worktop-1-100.png" --report "$pages/prediction.html"

heading "Which shutters are safe on the kitchen's camera? (a card for the wall)"
echo "\$ lampbeat shutters --light $pages/worktop.json --fps 24,25,30,50,60 --report $pages/card.html"
$lampbeat shutters --light "$pages/worktop.json" --fps 24,25,30,50,60 --readout 16ms \
  --report "$pages/card.html"

heading "Which fixtures of the kitchen are fit for filming?"
echo "\$ lampbeat rate captures/shelf.csv --report $pages/shelf.html"
$lampbeat rate captures/shelf.csv --report "$pages/shelf.html" --csv "$pages/shelf.csv"

heading "Where the pages are"
for page in worktop.html prediction.html card.html shelf.html worktop-1-100.png; do
  echo "  $PWD/$pages/$page"
done
