#include <algorithm>
#include <cmath>

#include "signal/measurement/state_measures.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// Bands that hold less than this of all that is unexplained are not worth listing: left out, one
/// moves the rms by 1.5 % of itself.
constexpr double least_share = 0.03;

/// The bands worth listing, and the power in them, sample units squared.
double list_bands(Measurement& m, const states::JudgedState& state) {
  double all = 0.0;
  for (const left_over::Surplus& surplus : state.left.surplus) all += surplus.power;
  double power = 0.0;
  for (const left_over::Surplus& surplus : state.left.surplus) {
    if (surplus.power < least_share * all) continue;
    power += surplus.power;
    m.unexplained.push_back(
        {surplus.from_hz, surplus.to_hz, std::sqrt(surplus.power) / state.tones.mean});
  }
  return power;
}

}  // namespace

void take_unexplained(Measurement& m, const states::JudgedState& state,
                      const states::CaptureFacts& capture) {
  const left_over::LeftOver& left = state.left;
  const states::MeasurementTrust& trust = state.trust;
  const double mean = state.tones.mean;
  const bool judged = trust.mean() && !trust.rate_hides_mains && !trust.not_analysed &&
                      !trust.too_short && mean > 0.0 && (left.from_hz || state.excess);
  if (!judged) return;
  if (m.steady_below_percent) m.steady_from_hz = left.from_hz;
  m.unexplained_percent = 0.0;
  if (!trust.unexplained) return;
  double power = list_bands(m, state);
  const double off = std::max(left.strays.off, state.excess ? state.excess->off : 0.0);
  if (m.unexplained.empty() && off > 0.0) {
    // Short and rare, it stands out of its frame or row at full depth: as strong as a sine that
    // swings as far.
    power = off * off / 8.0;
    m.unexplained.push_back({left.from_hz.value_or(1.0 / left.seconds), capture.rate_hz / 2.0,
                             std::sqrt(power) / mean});
  }
  m.unexplained_percent = 100.0 * std::sqrt(power) / mean;
  // Levels that hold are what the light reaches, whenever it does.
  if (m.percent_flicker_sd && !state.epoch->figures.levels.held()) {
    m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, *m.unexplained_percent);
  }
}

}  // namespace lampbeat::signal::measurement
