#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "report/text/footage_words.hpp"
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
    rows.push_back({"roll", words::measured_hertz(*f.roll_hz, f.roll_hz_sd.value_or(0.0)),
                    report::text::roll_words(f)});
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
  rows.push_back({"clip", words::shown_name(f.clip), report::text::frames_words(f)});
  rows.push_back({"curve", transfer_name(f.transfer),
                  f.transfer_doubt ? "which the picture contradicts, see below"
                  : f.transfer_tested
                      ? "borne out: bands are as deep in bright parts as in dark"
                      : "on trust (--transfer): a view of bright and dark parts tells"});
  return rows;
}

}  // namespace

std::string to_text(const FootageResult& f, const TextStyle& style) {
  std::string result =
      words::bold(words::wrapped(report::text::footage_sentence(f), style.width), style) + "\n\n";
  result += words::table(figures(f), style);
  if (f.remedy)
    result += "\n" + words::sentences("What to do", report::text::next_steps(*f.remedy), style);
  if (!f.warnings.empty()) {
    result += "\n" + words::findings("What to know", f.warnings, style);
  }
  return result;
}

}  // namespace lampbeat
