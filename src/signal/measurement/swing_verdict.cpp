#include "signal/measurement/swing_verdict.hpp"

#include <algorithm>
#include <cmath>

#include "signal/measurement/left_over_verdict.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// A drift that crosses a converter's step jumps by one.
constexpr double steps_of_a_jump = 1.6;
/// Gaussian noise reaches this far in no capture anybody can take; the rest is the model's play.
constexpr double noise_reach_sds = 8.0;
constexpr double scatter_play = 1.3;
/// A steady light may drift by so much of its level in all, or, in a long capture, a second.
constexpr double most_drift = 0.1;
constexpr double most_drift_a_second = 0.005;
/// A swing beyond what was found counts from this much of the mean on.
constexpr double least_excess = 1e-3;

/// The levels between which the light drifted, as far as a drift may.
left_over::LevelRange drift_of(const states::JudgedState& state) {
  left_over::LevelRange level = state.left.drift;
  const double middle = (level.lowest + level.highest) / 2.0;
  const double most =
      std::max(most_drift, most_drift_a_second * state.left.seconds) * state.tones.mean / 2.0;
  level.lowest = std::max(level.lowest, middle - most);
  level.highest = std::min(level.highest, middle + most);
  return level;
}

/// How far all lines together can reach.
double reach_of_rhythms(const states::JudgedState& state) {
  double sum = 0.0;
  for (const ToneSeries& series : state.tones.series) {
    for (const Tone& tone : series.tones) sum += tone.amplitude;
  }
  for (const left_over::Hum& hum : state.hum) sum += hum.amplitude;
  return sum;
}

double noise_of(const states::JudgedState& state, double step) {
  // A few readings far out raise the deviation, not the scatter of most readings; that knows no
  // better than to a converter's step.
  const double most = state.left.strays.scatter_sd;
  const double white = std::clamp(state.tones.noise_sd, most, scatter_play * (most + step));
  return std::hypot(white, std::sqrt(state.left.slow_noise_power));
}

}  // namespace

std::optional<left_over::Excess> beyond_what_was_found(const states::JudgedState& state,
                                                       const states::CaptureFacts& capture) {
  const left_over::LeftOver& left = state.left;
  const ToneAnalysis& tones = state.tones;
  if (left.few || left.slow || !tones.analysed) return std::nullopt;
  const double step = capture.step_beside(tones.mean);
  const double rhythms = reach_of_rhythms(state);
  const double reach =
      rhythms + noise_reach_sds * noise_of(state, step) + least_excess * tones.mean + step;
  std::optional<left_over::Excess> excess =
      left_over::beyond(left.extremes, drift_of(state), reach);
  if (tones.series.empty()) {
    const double off = excess ? excess->off : 0.0;
    if (left.jump && left.jump->size > std::max(off, steps_of_a_jump * step)) {
      excess = {left.jump->size, left.jump->at_s, left_over::Extremes::kept};
    }
    return excess;
  }
  // Beside a rhythm a few single readings are the recorder's.
  const bool counts = excess && excess->readings >= left_over::Extremes::kept &&
                      excess->off > least_stray(tones.mean, rhythms);
  return counts ? excess : std::nullopt;
}

}  // namespace lampbeat::signal::measurement
