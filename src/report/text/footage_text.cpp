#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "report/text/roll_words.hpp"
#include "report/visibility_words.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"
#include "words/sections.hpp"
#include "words/table.hpp"
#include "words/units.hpp"
#include "words/wrapping.hpp"

namespace lampbeat {

namespace {

/// More of the unlikely ones would fill the screen; JSON lists them all.
constexpr std::size_t most_candidates = 5;

std::string verdict(const FootageResult& f) {
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

std::string seconds_or_still(const FootageResult& f) {
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
  return report::roll_words(-hz / *f.bands_per_frame);
}

void add_bands(std::vector<words::TableRow>& rows, const FootageResult& f) {
  if (f.nothing_seen) {
    rows.push_back({"bands", fmt::format("under {}", words::percent(*f.smallest_seen_percent)),
                    "the faintest this clip would have shown"});
    return;
  }
  if (!f.band_percent) {
    rows.push_back({"bands", "not known", ""});
    return;
  }
  rows.push_back({"bands",
                  words::with_uncertainty(*f.band_percent, f.band_percent_sd.value_or(0.0), 2, "%"),
                  "depth in linear light, (max − min)/(max + min)"});
  rows.push_back(
      {"number",
       words::with_uncertainty(*f.bands_per_frame, f.bands_per_frame_sd.value_or(0.0), 3, ""),
       "over the picture height"});
  if (f.roll_hz) {
    rows.push_back(
        {"roll", words::measured_hertz(*f.roll_hz, f.roll_hz_sd.value_or(0.0)), roll_words(f)});
  }
  if (f.pulse_percent) {
    rows.push_back({"pulsing", words::percent(*f.pulse_percent),
                    f.pulse_hz ? fmt::format("whole frames, {} times a second",
                                             words::in_digits(*f.pulse_hz, 3))
                               : "whole frames stay equally bright"});
  }
}

std::vector<words::TableRow> figures(const FootageResult& f) {
  std::vector<words::TableRow> rows;
  add_bands(rows, f);
  if (f.readout_s) {
    rows.push_back(
        {"readout",
         words::with_uncertainty(1e3 * *f.readout_s, 1e3 * f.readout_s_sd.value_or(0.0), 2, "ms"),
         "first to last row; --save-camera keeps it"});
  }
  for (std::size_t i = 0; i < std::min(f.lights.size(), most_candidates); ++i) {
    const LightCandidate& c = f.lights[i];
    rows.push_back({i == 0 ? "light" : "", words::measured_hertz(c.hz, c.hz_sd),
                    c.plausible ? fmt::format("most likely; {}", c.why) : c.why});
  }
  for (std::size_t w = 1; w < f.waves.size(); ++w) {
    rows.push_back(
        {"also seen", words::percent(f.waves[w].band_percent),
         fmt::format("{} bands of another lamp, rolling at {:+.2f} Hz",
                     words::in_digits_at_most(f.waves[w].bands_per_frame, 2), f.waves[w].roll_hz)});
  }
  for (const Suspect& s : f.suspects) {
    rows.push_back(
        {words::shown_name(s.name), s.explains ? "explains it" : "does not match", s.why});
  }
  if (f.visibility) {
    rows.push_back({"visibility", report::visibility_words(*f.visibility), "1 = just visible"});
  }
  rows.push_back({"clip", words::shown_name(f.clip), seconds_or_still(f)});
  rows.push_back({"curve", transfer_name(f.transfer),
                  f.transfer_doubt ? "which the picture contradicts, see below"
                  : f.transfer_tested
                      ? "borne out: bands are as deep in bright parts as in dark"
                      : "on trust (--transfer): a view of bright and dark parts tells"});
  return rows;
}

std::string shutters(const std::vector<double>& exposures_s) {
  if (exposures_s.empty()) {
    return "A frame is shorter than one cycle of this light: no shutter cures it at this frame "
           "rate; film slower or use a steadier light.";
  }
  std::string labels;
  for (const double exposure_s : exposures_s) {
    labels += (labels.empty() ? "" : " or ") + exposure_label(exposure_s);
  }
  return fmt::format("Set the shutter to whole cycles of the light: {}.", labels);
}

std::vector<std::string> next_steps(const Remedy& remedy) {
  if (!remedy.light_hz) {
    return {
        "Name the light: --light-hz 100 (50 Hz countries) or 120 (60 Hz) also measures the "
        "camera's readout; --readout measures the light."};
  }
  std::vector<std::string> steps = {shutters(remedy.exposures_s)};
  if (remedy.of_deepest_alone) {
    steps.push_back(
        "That is for the deepest pattern alone; for all lamps together ask 'lampbeat shutters' "
        "with a --light for each.");
  }
  return steps;
}

}  // namespace

std::string to_text(const FootageResult& f, const TextStyle& style) {
  std::string result = words::bold(words::wrapped(verdict(f), style.width), style) + "\n\n";
  result += words::table(figures(f), style);
  if (f.remedy) result += "\n" + words::sentences("What to do", next_steps(*f.remedy), style);
  if (!f.warnings.empty()) {
    result += "\n" + words::findings("What to know", f.warnings, style);
  }
  return result;
}

}  // namespace lampbeat
