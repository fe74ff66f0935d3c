#include "signal/measurement/polarity.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::measurement {
namespace {

/// A light that goes out reads nothing give or take so much of its level, and its noise.
constexpr double reads_nothing = 0.01;
constexpr double surely_sds_of_figure = 5.0;
/// Figures closer than this say the same.
constexpr double same_points = 0.2;

}  // namespace

std::optional<double> percent_upside_down(const states::JudgedState& state,
                                          const states::CaptureFacts& capture) {
  const auto& typical = state.epoch->figures.typical_cycle;
  if (!capture.coupled() || capture.format.inverted || capture.settings.upright || !typical ||
      !state.trust.figures()) {
    return std::nullopt;
  }
  const CycleFigures& cycle = typical->figures;
  const double lowest = 2.0 * cycle.mean - cycle.highest;
  const double highest = 2.0 * cycle.mean - cycle.lowest;
  const double sd = cycle.percent_flicker_sd / 100.0 * cycle.mean;
  const double below = -(reads_nothing * cycle.mean + surely_sds_of_figure * sd);
  if (lowest < below) return std::nullopt;
  const double percent = std::min(100.0, 100.0 * (highest - lowest) / (highest + lowest));
  const double as_is = std::min(100.0, cycle.percent_flicker);
  const double same = std::max(same_points, surely_sds_of_figure * cycle.percent_flicker_sd);
  if (cycle.lowest < below) return percent;  // as it stands it is none
  return std::abs(percent - as_is) > same ? std::optional(percent) : std::nullopt;
}

}  // namespace lampbeat::signal::measurement
