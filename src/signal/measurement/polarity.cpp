#include "signal/measurement/polarity.hpp"

#include <algorithm>
#include <array>
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

bool corners_on_top(const Measurement& figures) {
  // |sin| = 2/pi - 4/pi (cos 2x / 3 + cos 4x / 15 + cos 6x / 35 + ...): upside down, all its
  // cosines are at their highest where the mains crosses zero. Upright, those of 4x and 6x are
  // against the one of 2x there, as in the dips of discharge lamps and the ripple behind a
  // capacitor.
  struct Harmonic {
    int order;
    double over_second;
  };
  constexpr std::array harmonics = {Harmonic{4, 3.0 / 15.0}, Harmonic{6, 3.0 / 35.0}};
  constexpr double as_strong = 1.6;  // or as weak: sensors and lamps round the corners
  constexpr double in_phase_deg = 30.0;
  if (figures.components.empty() || figures.components.front().mains_order != 2) return false;
  const MeasuredComponent& second = figures.components.front();
  return std::all_of(harmonics.begin(), harmonics.end(), [&](const Harmonic& harmonic) {
    const auto found =
        std::find_if(figures.components.begin(), figures.components.end(),
                     [&](const MeasuredComponent& c) { return c.mains_order == harmonic.order; });
    if (found == figures.components.end()) return false;
    const double ratio = found->relative / harmonic.over_second;
    const int turns_faster = harmonic.order / 2;  // than the second order; they are even
    const double behind_deg = found->phase_deg - turns_faster * second.phase_deg;
    return ratio < as_strong && ratio > 1.0 / as_strong &&
           std::abs(std::remainder(behind_deg, 360.0)) < in_phase_deg;
  });
}

}  // namespace lampbeat::signal::measurement
