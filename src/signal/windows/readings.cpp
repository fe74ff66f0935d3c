#include "signal/windows/readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "signal/windows/survey.hpp"

namespace lampbeat::signal::windows {

namespace {

constexpr double largest_reading = 1e100;  ///< beyond these, squares overflow
constexpr double smallest_reading = 1e-100;
/// Analogue noise and float recordings have neighbours at every distance, a converter's do not.
constexpr double codes_in_range = 4096.0;

/// The step of the codes; empty when it is finer than a converter's within the range.
std::optional<double> code_step(const Survey& survey) {
  const double range = survey.highest - survey.lowest;
  const double smallest = std::min(survey.smallest_step, range);
  if (!(smallest > 0.0) || smallest < range / codes_in_range) return std::nullopt;
  return smallest;
}

}  // namespace

void count(Readings& readings, const PlacedWindow& placed, const CaptureFormat& format,
           double dark_level) {
  const Window& raw = placed.window;
  const Survey survey = survey_of(raw.value);
  if (readings.samples == 0) {
    readings.lowest = survey.lowest;
    readings.highest = survey.highest;
  }
  readings.lowest = std::min(readings.lowest, survey.lowest);
  readings.highest = std::max(readings.highest, survey.highest);
  readings.sum += survey.sum;
  readings.samples += raw.size();
  readings.end_s = placed.start_s + raw.duration_s();

  const bool one_light = placed.kind == StretchKind::light;
  Rails rails{format.rail_low, format.rail_high, format.step, dark_level, one_light};
  const std::optional<double> codes = code_step(survey);
  readings.code_step = std::max({readings.code_step, codes, rails.step});
  // Of two levels only, either may be the light's.
  if (!rails.step && codes < survey.highest - survey.lowest) rails.step = codes;
  readings.step = std::max(readings.step, rails.step);
  readings.clipping += find_clipping(raw.value, survey, rails);

  if (!one_light) return;
  readings.all_even = readings.all_even && raw.even();
  readings.on_grid = readings.on_grid && placed.on_grid;
  readings.jitter_percent = std::max(readings.jitter_percent, placed.jitter_percent);
}

std::optional<double> mean_rate_hz(const Readings& readings, const CaptureFormat& format) {
  if (format.evenly_sampled && format.rate_hz) return format.rate_hz;
  if (!(readings.end_s > 0.0)) return std::nullopt;
  return static_cast<double>(readings.samples) / readings.end_s;
}

void refuse_useless(const Readings& readings, const CaptureFormat& format) {
  if (readings.samples < 2) {
    throw InputError(
        fmt::format("{}: holds {} sample{}; a measurement needs at least two, better "
                    "one second of them",
                    format.name, readings.samples, readings.samples == 1 ? "" : "s"));
  }
  const double largest = std::max(std::abs(readings.lowest), std::abs(readings.highest));
  if (largest > largest_reading || (largest > 0.0 && largest < smallest_reading)) {
    throw InputError(fmt::format(
        "{}: the readings reach {:g}, which no sensor gives; see whether the right column is read "
        "and the file is whole",
        format.name, readings.lowest < -readings.highest ? readings.lowest : readings.highest));
  }
}

}  // namespace lampbeat::signal::windows
