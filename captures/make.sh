#!/bin/sh
# Re-makes the example captures, byte for byte: sh captures/make.sh [PROGRAM [FOLDER]]
# They are synthetic; MANIFEST.md says what each stands for.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
program=${1:-$here/../build/lampbeat}
case $program in /*) ;; */*) program=$(pwd)/$program ;; esac
cd "${2:-$here}"
lampbeat() { "$program" "$@"; }

lampbeat synth ceiling-panel.wav --mains 60 --component 120:1.1:180 --component 240:0.25:90 --noise 0.4 --dark 0.01 --seconds 2 --seed 11
lampbeat synth worktop-panel.wav --mains 60.01 --rectified 45 --noise 0.5 --dark 0.01 --seconds 2 --seed 12
lampbeat synth worktop-panel.flac --mains 60.01 --rectified 45 --noise 0.5 --dark 0.01 --seconds 2 --seed 12 --bits 16
lampbeat synth cabinet-strip-70.wav --pwm 481.3:70% --noise 0.5 --dark 0.01 --seconds 2 --seed 13 --bits 16
lampbeat synth cabinet-strip-20.wav --pwm 481.3:20% --noise 0.5 --level 0.15 --dark 0.01 --seconds 2 --seed 14 --bits 16
lampbeat synth range-hood.csv --mains 59.99 --component 119.98:5:200 --component 239.96:0.4:30 --noise 0.6 --rate 10000 --seconds 2 --seed 15 --bits 12
lampbeat synth store-room-tube.flac --mains 59.98 --typical tube-magnetic --component 59.98:2:40 --noise 0.5 --dark 0.01 --seconds 2 --seed 16 --bits 16
lampbeat synth pantry-logger.csv --mains 60.02 --rectified 30 --noise 0.8 --level 0.4 --dark 0.003 --rate 4000 --jitter 8 --seconds 3 --seed 17 --bits 10 --counts --time-unit us
lampbeat synth worktop-sound-card.wav --mains 60.01 --rectified 45 --noise 0.5 --rate 48000 --coupling-corner 8 --seconds 2 --seed 18 --bits 16
lampbeat synth dark.wav --covered --noise 0.5 --dark 0.01 --seconds 1 --seed 19 --bits 16
