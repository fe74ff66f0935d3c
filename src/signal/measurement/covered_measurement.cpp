#include <fmt/format.h>

#include <utility>

#include "lampbeat/covering.hpp"
#include "lampbeat/meter.hpp"
#include "words/units.hpp"

namespace lampbeat {
namespace {

std::string steps_words(const Covering& c) {
  return c.steps == 1
             ? "the step where the sensor was covered or uncovered"
             : fmt::format("the {} steps where the sensor was covered and uncovered", c.steps);
}

Finding mean_from_covering(const Covering& c) {
  return {"mean_from_covering",
          fmt::format("The recording lost its level, and {} give{} it back: the mean is {}. "
                      "Measured from {:.1f} s to {:.1f} s, while the sensor saw the light.",
                      steps_words(c), c.steps == 1 ? "s" : "",
                      words::measured_level(c.mean_level, c.mean_level_sd), c.from_s, c.to_s)};
}

Finding covering_says_nothing(const Covering& c) {
  return {"covering_unclear",
          fmt::format("The recording lost its level, and {} cannot give it back: {}. Cover the "
                      "sensor quickly and wholly, twice or more, with automatic gain off and "
                      "without reaching the end of the scale.",
                      steps_words(c), c.why_not.empty() ? "they lead down" : c.why_not)};
}

Finding reads_lower_in_the_light(const Covering& c) {
  return {"polarity_unknown",
          fmt::format("By {}, this sensor reads lower in more light. If it was you who covered it, "
                      "and not the lamp that became steady and brighter, --invert lets the "
                      "recording tell its mean and its depth.",
                      steps_words(c))};
}

bool lost_its_level(const Measurement& m) {
  return !m.mean && m.dominant_hz && m.rate_hz && has_finding(m.warnings, "no_dc_level");
}

/// With the mean that covering the sensor showed, in the longest stretch in the light.
Measurement measured_with(const Covering& found, const CaptureReopener& open,
                          CaptureOptions options, MeasurementSettings settings,
                          const MeasureProgress& progress) {
  if (found.to_s > found.from_s) {
    options.from_s += found.from_s;
    options.for_s = found.to_s - found.from_s;
  }
  const bool turned = found.upside_down && !settings.upright;
  const bool tells = found.why_not.empty() && !found.upside_down;
  if (tells) {
    settings.mean_level = found.mean_level;
    settings.mean_level_sd = found.mean_level_sd;
    settings.upright = !options.invert;
    if (!settings.coupling_corner_hz) settings.coupling_corner_hz = found.coupling_corner_hz;
  }
  Measurement with = measure(*open(options), settings, progress);
  with.warnings.insert(with.warnings.begin(), tells    ? mean_from_covering(found)
                                              : turned ? reads_lower_in_the_light(found)
                                                       : covering_says_nothing(found));
  return with;
}

}  // namespace

Measurement measure_twice_if_covered(const CaptureReopener& open, const CaptureOptions& options,
                                     const MeasurementSettings& settings,
                                     const MeasureProgress& progress) {
  Measurement without = measure(*open(options), settings, progress);
  if (!lost_its_level(without)) return without;
  const std::optional<Covering> found =
      covering(*open(options), *without.dominant_hz, *without.rate_hz);
  return found ? measured_with(*found, open, options, settings, progress) : without;
}

}  // namespace lampbeat
