#include "report/text/footage_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "report/text/rolling_words.hpp"

namespace lampbeat::report::text {

namespace {

std::string shutters(const std::vector<double>& exposures_s) {
  if (exposures_s.empty()) {
    return "A frame is shorter than one cycle of this light: no shutter cures it at this frame "
           "rate; film slower or use a steadier light.";
  }
  std::string labels;
  for (const double exposure_s : exposures_s) {
    labels += (labels.empty() ? "" : " or ") + exposure_label(exposure_s);
  }
  return fmt::format("Set the shutter to {}: whole cycles of this light.", labels);
}

}  // namespace

std::string footage_sentence(const FootageResult& f) {
  const char* shown = f.fps ? "clip" : "picture";
  if (!f.verdict) {
    if (f.nothing_seen) return "No bands were found, but visible ones could have gone unnoticed.";
    return f.band_percent ? "Measured, not judged." : "Not decided: see below for what is missing.";
  }
  if (f.nothing_seen) return "Clean: no bands were found in this clip.";
  const bool pulsing = f.pulse_percent && *f.pulse_percent > *f.band_percent;
  const char* what = pulsing ? "pulsing" : "bands";
  switch (*f.verdict) {
    case Verdict::clean:
      return fmt::format("Clean: the {} in this {} are below notice.", pulsing ? "pulses" : "bands",
                         shown);
    case Verdict::borderline:
      return fmt::format("Borderline: the {} may just be seen.", pulsing ? "pulses" : "bands");
    case Verdict::visible:
      return fmt::format("Visible: this {} shows {}.", shown, what);
    case Verdict::strong:
      break;
  }
  return fmt::format("Strong: this {} is ruined by {}.", shown, what);
}

std::string frames_words(const FootageResult& f) {
  if (!f.fps) return fmt::format("one still of {} rows", f.rows);
  return fmt::format("{} frames at {} a second, {} rows", f.frames, frame_rate_label(*f.fps),
                     f.rows);
}

std::string roll_words(const FootageResult& f) {
  if (!f.roll_hz) return {};
  const double hz = *f.roll_hz;
  const double sd = f.roll_hz_sd.value_or(0.0);
  if (std::abs(hz) <= sd) return "standing still";
  if (!f.bands_per_frame || *f.bands_per_frame < 3.0 * f.bands_per_frame_sd.value_or(0.0)) {
    return "the whole picture at once";
  }
  return rolling_words(-hz / *f.bands_per_frame);
}

std::vector<std::string> next_steps(const Remedy& remedy) {
  if (!remedy.light_hz) {
    return {
        "Say how fast the light pulses, --light-hz 100 (50 Hz countries) or 120 (60 Hz), to "
        "measure the camera's readout; or give --readout, if you know it, to measure the light."};
  }
  std::vector<std::string> steps = {shutters(remedy.exposures_s)};
  if (remedy.of_deepest_alone) {
    steps.push_back(
        "That is for the deepest pattern alone; for all lamps together ask 'lampbeat shutters' "
        "with a --light for each.");
  }
  return steps;
}

}  // namespace lampbeat::report::text
