#include "records/footage_line.hpp"

#include <fmt/format.h>

#include <cmath>

#include "records/line_keys.hpp"
#include "words/units.hpp"

namespace lampbeat::records {

namespace {

using files::json::Json;

std::string seconds_words(const std::optional<double>& seconds, const char* otherwise) {
  return seconds ? words::duration(*seconds) : otherwise;
}

void add_set_up(Occasion& clip, const Json& document) {
  const auto fps = number(document, "fps", 0.0, 1e6);
  clip.set_up.push_back(
      {"frame rate", fps ? fmt::format("{:.3f} fps", *fps) : std::string("not known"), true});
  clip.set_up.push_back({"transfer curve", text(document, "transfer"), true});
  if (!has(document, "set_up")) {
    clip.doubts.push_back({"set_up_unknown", "nobody wrote down how the clip was measured"});
    return;
  }
  const Json& given = document["set_up"];
  const auto exposure_s = number(given, "exposure_s", 0.0, 1.0);
  clip.set_up.push_back(
      {"shutter", seconds_words(exposure_s, "not said"), true, exposure_s.has_value()});
  clip.set_up.push_back({"way of looking",
                         yes(given, "reference")    ? "against a reference"
                         : yes(given, "plain_wall") ? "at a plain wall"
                                                    : "at what rolls",
                         true});
}

/// A clip that shows no bands is proved to have none only where its verdict says so.
OccasionFigure bands(const Json& document, const std::optional<Verdict>& seen) {
  OccasionFigure figure{"band_percent",
                        "bands",
                        "%",
                        FigureRole::depth,
                        number(document, "band_percent", 0.0, 100.0),
                        number(document, "band_percent_uncertainty", 0.0, 1e6),
                        {}};
  // Rounding to codes and compression, which a clip's own noise says nothing of.
  constexpr double least_sd = 0.01;
  if (figure.sd) figure.sd = std::hypot(*figure.sd, least_sd);
  if (!figure.value && seen) {
    figure.at_most = number(document, "smallest_seen_percent", 0.0, 1e6);
  }
  return figure;
}

}  // namespace

Occasion footage_occasion(const Json& document) {
  constexpr double most_hz = 1e9;
  Occasion clip;
  clip.kind = OccasionKind::clip;
  clip.source = text(document, "clip");
  clip.measurement_version = version_in(document);
  clip.seen = verdict_in(document);
  add_set_up(clip, document);
  clip.figures = {bands(document, clip.seen),
                  {"roll_hz",
                   "roll",
                   "Hz",
                   FigureRole::detail,
                   number(document, "roll_hz", -most_hz, most_hz),
                   number(document, "roll_hz_uncertainty", 0.0, most_hz),
                   {}},
                  {"pulse_percent",
                   "pulsing",
                   "%",
                   FigureRole::rough_depth,
                   number(document, "pulse_percent", 0.0, 100.0),
                   {},
                   {}},
                  {"readout_s",
                   "readout",
                   "s",
                   FigureRole::camera,
                   number(document, "readout_s", 0.0, 1e3),
                   number(document, "readout_s_uncertainty", 0.0, 1e3),
                   {}}};
  if (!clip.seen) {
    clip.doubts.push_back({"clip_undecided", "what the clip shows could not be judged"});
  }
  const std::string doubt = text(document, "transfer_doubt");
  if (!doubt.empty()) clip.doubts.push_back({"transfer_doubt", doubt});
  return clip;
}

}  // namespace lampbeat::records
