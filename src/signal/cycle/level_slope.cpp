#include "signal/cycle/level_slope.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace lampbeat::signal::cycle {
namespace {

/// Standard errors of a slope that is no accident: of 14 degrees of freedom, one window in 2000.
constexpr double level_slope_sds = 4.5;
constexpr std::size_t fewest_levels = 5;

}  // namespace

LevelSlope level_slope(const PhaseTable& table) {
  LevelSlope none;
  if (table.stretches < fewest_levels) return none;
  const auto n = static_cast<double>(table.stretches);
  const double middle = (n - 1.0) / 2.0;
  std::vector<double> level(table.stretches);
  double mean = 0.0;
  double along = 0.0;
  for (std::size_t s = 0; s < table.stretches; ++s) {
    double is = 0.0;
    double expected = 0.0;
    for (std::size_t c = 0; c < table.cells; ++c) {
      const double count = table.count_in(s, c);
      if (count == 0.0) continue;
      is += table.value_in(s, c) + count * table.middle;
      expected += count * (table.total[c].mean() + table.middle);
    }
    if (!(expected > 0.0)) return none;
    level[s] = is / expected;
    mean += level[s] / n;
    along += (static_cast<double>(s) - middle) * level[s];
  }
  const double places = n * (n * n - 1.0) / 12.0;
  const double slope = along / places;
  double rest = 0.0;
  for (std::size_t s = 0; s < table.stretches; ++s) {
    const double off = level[s] - mean - slope * (static_cast<double>(s) - middle);
    rest += off * off;
  }
  const double slope_sd = std::sqrt(rest / (n - 2.0) / places);
  if (!(mean > 0.0) || std::abs(slope) < level_slope_sds * slope_sd) return none;
  const double change = slope * n / mean;
  if (!worth_levelling(change)) return none;
  return {slope / mean / table.stretch_s, table.stretch_s * n / 2.0};
}

}  // namespace lampbeat::signal::cycle
