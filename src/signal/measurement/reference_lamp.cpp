#include "lampbeat/reference_lamp.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "lampbeat/error.hpp"
#include "lampbeat/meter.hpp"

namespace lampbeat {

namespace {

/// What a capture comes to with a mean that is made up.
struct Tried {
  double mean = 0.0;
  double percent = 0.0;
  double percent_sd = 0.0;
};

struct Range {
  std::string name;
  double swing = 0.0;
};

Range range_of(CaptureSource& source) {
  double lowest = std::numeric_limits<double>::infinity();
  double highest = -lowest;
  for (SampleBlock block = source.next(); !block.value.empty(); block = source.next()) {
    const auto [low, high] = std::minmax_element(block.value.begin(), block.value.end());
    lowest = std::min(lowest, *low);
    highest = std::max(highest, *high);
  }
  return {source.format().name, highest - lowest};
}

Tried tried_with(const CaptureOpener& reference, double mean, const MeasurementSettings& settings) {
  MeasurementSettings made_up;
  made_up.mean_level = mean;
  made_up.coupling_corner_hz = settings.coupling_corner_hz;
  made_up.sensor_corner_hz = settings.sensor_corner_hz;
  made_up.mains_hz = settings.mains_hz;
  made_up.upright = true;  // which way up it is changes no swing
  const auto source = reference();
  const Measurement m = measure(*source, made_up);
  if (!m.percent_flicker || !m.dominant_hz || !(*m.percent_flicker > 0.0)) {
    std::string why;
    if (!m.warnings.empty()) why = " " + m.warnings.front().message;
    throw InputError(fmt::format(
        "{}: the reference lamp shows no rhythm whose depth could be read, so it gives no mean "
        "level; record a lamp that flickers, for a second or longer.{}",
        m.capture, why));
  }
  return {mean, *m.percent_flicker, m.percent_flicker_sd.value_or(0.0)};
}

}  // namespace

KnownMean mean_by_percent(const CaptureOpener& reference, double percent,
                          const MeasurementSettings& settings) {
  if (!(percent > 0.0 && percent <= 100.0)) {
    throw UsageError(fmt::format(
        "the percent flicker of a reference lamp lies above 0 and is at most 100, not {:g}",
        percent));
  }
  const auto opened = reference();
  const Range range = range_of(*opened);
  if (!(range.swing > 0.0)) {
    throw InputError(range.name +
                     ": every reading of the reference lamp is the same; it gives no mean level");
  }
  // Well above the swing, so that none of the light goes below nothing.
  const Tried one = tried_with(reference, range.swing, settings);
  const Tried other = tried_with(reference, 3.0 * range.swing, settings);
  const double slope = (1.0 / other.percent - 1.0 / one.percent) / (other.mean - one.mean);
  const double level = one.mean + (1.0 / percent - 1.0 / one.percent) / slope;
  if (!(slope > 0.0) || !(level > 0.0)) {
    throw InputError(fmt::format(
        "{}: its swing does not fit a lamp of {:g} % flicker; see whether that is the lamp's, and "
        "the recording not clipped",
        range.name, percent));
  }
  // The swing is read to the same share of itself whatever the mean.
  return {level, level * one.percent_sd / one.percent};
}

}  // namespace lampbeat
