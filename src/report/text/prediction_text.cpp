#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"
#include "words/sections.hpp"
#include "words/table.hpp"
#include "words/units.hpp"
#include "words/wrapping.hpp"

namespace lampbeat {

namespace {

std::string verdict(const Prediction& p) {
  const std::string setting = fmt::format("{} frames a second at {}", frame_rate_label(p.shot.fps),
                                          exposure_label(p.shot.exposure_s));
  const char* what = pulses_more_than_bands(p.worst) ? "pulsing" : "bands";
  switch (p.worst.verdict) {
    case Verdict::clean:
      return fmt::format("Clean: {} shows neither bands nor pulsing.", setting);
    case Verdict::borderline:
      return fmt::format("Borderline: {} may just show {}.", setting, what);
    case Verdict::visible:
      return fmt::format("Visible: {} will show {}.", setting, what);
    case Verdict::strong:
      break;
  }
  return fmt::format("Strong: {} is ruined by {}.", setting, what);
}

std::string roll_words(const Recorded& r) {
  constexpr double standing_hz = 1e-4;  // a turn in three hours
  if (std::abs(r.roll_hz) < standing_hz) return "standing still";
  if (r.roll_heights_per_s == 0.0)
    return fmt::format("beating at {}", words::hertz(std::abs(r.roll_hz), 5));
  return fmt::format("rolling {} at {} picture heights a second ({} Hz)",
                     r.roll_heights_per_s > 0 ? "down" : "up",
                     words::in_digits(std::abs(r.roll_heights_per_s), 2),
                     words::in_digits(std::abs(r.roll_hz), 3));
}

std::vector<words::TableRow> figures(const Prediction& p, int width) {
  std::vector<words::TableRow> rows;
  const Recorded& r = p.nominal;
  if (p.shot.readout_s > 0.0) {
    rows.push_back({"bands", words::percent(r.band_percent),
                    r.band_percent < 0.005
                        ? std::string("nothing left to see")
                        : fmt::format("{} over the picture, {}, {} stops from dark to bright",
                                      words::in_digits(r.bands_per_frame, 3), roll_words(r),
                                      words::in_digits(r.band_stops, 2))});
  } else {
    rows.push_back({"bands", "none", "a global shutter exposes all rows together"});
  }
  rows.push_back(
      {"pulsing", words::percent(r.pulse_percent),
       r.pulse_percent < 0.005 || r.pulse_hz == 0.0
           ? std::string("whole frames stay equally bright")
           : fmt::format("whole frames, {} times a second", words::in_digits(r.pulse_hz, 3))});
  rows.push_back(
      {"visibility", words::in_digits(r.visibility, 2), "1 = just visible on a plain wall"});
  if (p.mains_hz && p.mains_tolerance_hz > 0.0 && p.worst.mains_hz) {
    rows.push_back(
        {"mains drift",
         fmt::format("{} at {}", words::percent(deeper_percent(p.worst)),
                     words::hertz(*p.worst.mains_hz, 5)),
         fmt::format("worst within {} ± {} Hz: {}", words::hertz(*p.mains_hz, 5),
                     words::in_digits(p.mains_tolerance_hz, 2), verdict_word(p.worst.verdict))});
  }
  if (p.clock_tolerance_percent && *p.clock_tolerance_percent > 0.0) {
    rows.push_back({"own clock",
                    fmt::format("{} at {:+.2g} %", words::percent(deeper_percent(p.worst)),
                                p.worst.clock_percent),
                    fmt::format("worst within ± {} % of a free-running light's frequency: {}",
                                words::in_digits(*p.clock_tolerance_percent, 2),
                                verdict_word(p.worst.verdict))});
  }
  rows.push_back({"shutter",
                  fmt::format("{} = {}", exposure_label(p.shot.exposure_s),
                              words::duration(p.shot.exposure_s)),
                  fmt::format("{}° at {} frames a second",
                              words::in_digits(shutter_angle_deg(p.shot.exposure_s, p.shot.fps), 4),
                              frame_rate_label(p.shot.fps))});
  // Beside the longest label, and of several lights beside their shares.
  const int beside_name = p.lights.size() > 1 ? 43 : 16;
  const int room_for_name = std::min(words::longest_name, width - beside_name);
  for (const LightShare& entry : p.lights) {
    const std::string share = p.lights.size() > 1 ? fmt::format("{} of the light here",
                                                                words::percent(100.0 * entry.share))
                                                  : std::string();
    const std::string depth = entry.light.depth == DepthKnown::assumed_deepest
                                  ? "depth not known: judged at the deepest this light can be"
                                  : "";
    rows.push_back({"light", words::shown_name(entry.light.name, room_for_name),
                    share + (share.empty() || depth.empty() ? "" : "; ") + depth});
  }
  return rows;
}

}  // namespace

std::string to_text(const Prediction& p, const std::vector<std::string>& advice,
                    const TextStyle& style) {
  std::string result = words::bold(words::wrapped(verdict(p), style.width), style) + "\n\n";
  result += words::table(figures(p, style.width), style);
  if (!advice.empty()) {
    result += "\n" + words::sentences("What to do", advice, style);
  }
  if (!p.findings.empty()) {
    result += "\n" + words::findings("What to know", p.findings, style);
  }
  return result;
}

}  // namespace lampbeat
