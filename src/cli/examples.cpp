#include "cli/examples.hpp"

#include <algorithm>

namespace lampbeat::cli {

namespace {

const std::vector<CommandExamples>& all_examples() {
  static const std::vector<CommandExamples> all = {
      {"measure",
       "measure CAPTURE... [OPTIONS]",
       {},
       {"lampbeat measure captures/worktop-panel.wav --dark captures/dark.wav --save worktop.json",
        "lampbeat measure captures/pantry-logger.csv --dark 3.072 --report pantry.html",
        "arecord -f S16_LE -r 48000 -d 5 | lampbeat measure -"}},
      {"predict",
       "predict --light FILE --fps RATE --shutter TIME [OPTIONS]",
       {"light", "typical", "light-hz", "fps", "shutter"},
       {"lampbeat predict --light worktop.json --fps 25 --shutter 1/100",
        "lampbeat predict --typical tube-magnetic --mains 50 --fps 24 --shutter 180deg",
        "lampbeat predict --light worktop.json:70 --light captures/range-hood.csv:30 --fps 30 "
        "--shutter 1/60"}},
      {"shutters",
       "shutters --light FILE --fps LIST [OPTIONS]",
       {"light", "typical", "light-hz", "fps"},
       {"lampbeat shutters --light worktop.json --fps 24,25,30 --report card.html",
        "lampbeat shutters --light worktop.json --camera captures/kitchen-cam.json --mode 'Film "
        "24'"}},
      {"rate",
       "rate FOLDER|SHELF.csv|CAPTURE... [OPTIONS]",
       {},
       {"lampbeat rate captures/shelf.csv --report shelf.html",
        "lampbeat rate captures/shelf.csv --fps 25,50 --readout 16ms --csv ranking.csv",
        "lampbeat measure captures/range-hood.csv --dark 0 --json | lampbeat rate -"}},
      {"footage",
       "footage CLIP [OPTIONS]",
       {},
       {"lampbeat footage wall.y4m --light-hz 120 --save-camera cam.json",
        "lampbeat footage wall.y4m --readout 16ms --shutter 1/500 --save lamp.json",
        "ffmpeg -v error -i clip.mp4 -f yuv4mpegpipe -strict -1 - | lampbeat footage - "
        "--light-hz 120"}},
      {"room",
       "room ROOM.json --fps RATE --shutter TIME [OPTIONS]",
       {"fps", "shutter"},
       {"lampbeat room --example > kitchen.json",
        "lampbeat room kitchen.json --fps 25 --shutter 1/50 --readout 16ms",
        "lampbeat room kitchen.json --fps 25 --shutter 1/50 --map kitchen.png --report "
        "kitchen.html",
        "lampbeat room kitchen.json --camera captures/kitchen-cam.json --mode 'Full HD 25' "
        "--shutter 1/60"}},
      {"compare",
       "compare BEFORE... AFTER|ROOM.jsonl [OPTIONS]",
       {},
       {"lampbeat compare captures/worktop-panel.wav captures/worktop-panel.flac --dark 0.01",
        "lampbeat measure captures/worktop-panel.wav --dark captures/dark.wav --log room.jsonl "
        "--fixture worktop --taken 2026-11-01",
        "lampbeat measure captures/worktop-panel.flac --dark captures/dark.wav --log room.jsonl "
        "--fixture worktop",
        "lampbeat compare room.jsonl --since 2026-11-01 --report course.html"}},
      {"synth",
       "synth OUT [OPTIONS]",
       {},
       {"lampbeat synth lamp.wav --mains 50 --typical led-rippled",
        "lampbeat synth dimmer.csv --pwm 480:30% --seconds 2",
        "lampbeat synth wall.y4m --mains 60 --rectified 45 --fps 25 --shutter 1/500 --rows 540 "
        "--readout 16ms --seconds 4"}},
  };
  return all;
}

}  // namespace

const CommandExamples& examples_of(std::string_view command) {
  static const CommandExamples none;
  const auto& all = all_examples();
  const auto found = std::find_if(
      all.begin(), all.end(), [&](const CommandExamples& one) { return one.command == command; });
  return found == all.end() ? none : *found;
}

}  // namespace lampbeat::cli
