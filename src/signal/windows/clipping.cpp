#include "signal/windows/clipping.hpp"

#include <cmath>
#include <cstddef>

#include "signal/windows/resting_extreme.hpp"

namespace lampbeat::signal::windows {

namespace {

/// What rounding may put a reading beside a rail, in steps.
constexpr double rounding_steps = 0.01;
constexpr std::size_t fewest_samples = 16;  ///< two handfuls: the extremes are not all there is

std::uint64_t at_known_rail(std::span<const double> raw, double rail, double step, bool upper) {
  const double edge = upper ? rail - rounding_steps * step : rail + rounding_steps * step;
  std::uint64_t clipped = 0;
  std::size_t run = 0;
  const auto close = [&] {
    if (run >= 2) clipped += run;
    run = 0;
  };
  for (const double x : raw) {
    if (upper ? x >= edge : x <= edge) {
      ++run;
    } else {
      close();
    }
  }
  close();
  return clipped;
}

}  // namespace

Clipping find_clipping(std::span<const double> raw, const Survey& survey, const Rails& rails) {
  Clipping found;
  if (raw.size() < fewest_samples) return found;
  const double range = survey.highest - survey.lowest;
  // Readings without steps lie as near to each other as they like.
  const double step = rails.step.value_or(0.0);
  if (rails.high && survey.highest >= *rails.high - rounding_steps * step) {
    found.high = at_known_rail(raw, *rails.high, step, true);
  } else if (range > 0.0 && rails.one_light) {
    found.high = resting_on_extreme(raw, survey, step, true);
  }
  const bool dark_gap = std::abs(survey.lowest - rails.dark) <= 0.01 * range;
  if (rails.low && survey.lowest <= *rails.low + rounding_steps * step) {
    found.low = at_known_rail(raw, *rails.low, step, false);
  } else if (range > 0.0 && rails.one_light && !dark_gap) {
    found.low = resting_on_extreme(raw, survey, step, false);
  }
  return found;
}

}  // namespace lampbeat::signal::windows
