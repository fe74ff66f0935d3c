#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "report/hidden_light.hpp"
#include "report/text/rolling_words.hpp"
#include "report/visibility_words.hpp"
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
  const char* what = shown_word(p.worst);
  switch (p.worst.verdict) {
    case Verdict::clean:
      if (report::hides_what_could_show(p)) {
        return fmt::format(
            "Clean as far as was measured: {} shows neither bands nor pulsing of what was found.",
            setting);
      }
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
  return fmt::format("{} ({} Hz)", report::text::rolling_words(r.roll_heights_per_s),
                     words::in_digits(r.roll_hz, 3));
}

/// "1/100 = 10.0 ms"; what is labelled by its time already is told once.
std::string exposure_words(double exposure_s) {
  const std::string label = exposure_label(exposure_s);
  return label.rfind("1/", 0) == 0 ? fmt::format("{} = {}", label, words::duration(exposure_s))
                                   : label;
}

constexpr double nothing_percent = 0.005;  // what two decimals show as none

/// What stands beside a figure of nothing.
std::string untold(const Prediction& p, double at_worst_percent, const char* reassuring) {
  return is_clean(p.worst) || at_worst_percent < nothing_percent
             ? reassuring
             : "none as measured; see the worst case below";
}

std::vector<words::TableRow> figures(const Prediction& p, int width) {
  std::vector<words::TableRow> rows;
  const Recorded& r = p.nominal;
  if (p.shot.readout_s > 0.0) {
    rows.push_back({"bands", words::percent(r.band_percent),
                    r.band_percent < nothing_percent
                        ? untold(p, p.worst.band_percent, "nothing left to see")
                        : fmt::format("{} over the picture, {}, {} stops from dark to bright",
                                      words::in_digits(r.bands_per_frame, 3), roll_words(r),
                                      words::in_digits(r.band_stops, 2))});
  } else {
    rows.push_back({"bands", "none", "a global shutter exposes all rows together"});
  }
  rows.push_back(
      {"pulsing", words::percent(r.pulse_percent),
       r.pulse_percent < nothing_percent || r.pulse_hz == 0.0
           ? untold(p, p.worst.pulse_percent, "whole frames stay equally bright")
           : fmt::format("whole frames, {} times a second", words::in_digits(r.pulse_hz, 3))});
  const std::string visible = report::visibility_words(r.visibility);
  const std::string at_worst = report::visibility_words(p.worst.visibility);
  rows.push_back({"visibility", visible,
                  "1 = just visible on a plain wall" +
                      (at_worst == visible ? std::string() : "; at worst " + at_worst)});
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
                    fmt::format("{} at {}{} %", words::percent(deeper_percent(p.worst)),
                                p.worst.clock_percent > 0.0 ? "+" : "",
                                words::in_digits_at_most(p.worst.clock_percent, 2)),
                    fmt::format("worst within ± {} % of a free-running light's frequency: {}",
                                words::in_digits(*p.clock_tolerance_percent, 2),
                                verdict_word(p.worst.verdict))});
  }
  rows.push_back({"shutter", exposure_words(p.shot.exposure_s),
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
    rows.push_back(
        {"light", words::shown_name(entry.light.name, room_for_name),
         fmt::format("{}{}{}", share, share.empty() || depth.empty() ? "" : "; ", depth)});
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
