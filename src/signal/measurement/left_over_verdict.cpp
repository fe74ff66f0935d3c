#include "signal/measurement/left_over_verdict.hpp"

#include <algorithm>
#include <cmath>

#include "signal/measurement/swing_verdict.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// Irregular light below this nobody could film or see, rms over the mean.
constexpr double nobody_minds = 3e-4;
/// Beside a rhythm this share of its amplitude may be what the model of it leaves.
constexpr double model_leaves = 0.02;
/// A converter's step leaves steps of its own size, up to this rms.
constexpr double steps_rms = 0.6;
/// Strays are short and rare: no more than this share of all readings.
constexpr double short_and_rare = 0.1;
/// No model of 1/f noise is truer than this share of its power.
constexpr double slow_noise_play = 0.03;
/// The low level of a switched light may lie below zero by so much of the high one.
constexpr double zero_play = 0.003;
/// No cycle of a light has more percent flicker than 100, give or take what folding errs by.
constexpr double most_percent = 100.6;
constexpr double within_sds = 5.0;

double total_power(const std::vector<left_over::Surplus>& surplus) {
  double power = 0.0;
  for (const left_over::Surplus& part : surplus) power += part.power;
  return power;
}

/// A light of a few switched cycles is told by its edges, whatever the windows took it for.
void trust_edges(states::MeasurementTrust& trust, const course::FewCycles& few, bool level_kept) {
  trust.too_short = !few.hz;
  trust.steady = false;
  const double wrong = few.low + zero_play * few.high + within_sds * few.level_sd;
  if (level_kept && !trust.no_dc && wrong < 0.0) trust.below_zero = true;
}

bool has_strays(const states::JudgedState& state, double ripple) {
  // A line that turned out to be noise was folded into the readings and tore them.
  const bool torn = state.tones.series.empty() && !state.epoch->steady();
  const left_over::Strays& strays = state.left.strays;
  return strays.samples > 0 && !torn &&
         static_cast<double>(strays.samples) < short_and_rare * state.samples &&
         strays.off > least_stray(state.tones.mean, ripple);
}

}  // namespace

double least_stray(double level, double rhythms) {
  constexpr double of_level = 0.01;
  constexpr double of_rhythms = 0.5;
  return std::max(of_level * level, of_rhythms * rhythms);
}

left_over::LeftOver left_over_beside(const left_over::LeftOverAccount& account, double level,
                                     const states::CaptureFacts& capture) {
  left_over::NoiseKnowledge known;
  known.level = level;
  known.half_rate_hz = capture.rate_hz / 2.0;
  known.response = capture.response;
  if (capture.settings.dark) known.dark = capture.settings.dark->bands;
  if (const double step = capture.step_beside(level); step > 0.0) known.step = step;
  return account.result(known, !capture.settings.mean_level);
}

void judge_left_over(states::JudgedState& state, const states::CaptureFacts& capture) {
  const ToneAnalysis& tones = state.tones;
  states::MeasurementTrust& trust = state.trust;
  const bool level_kept = !capture.settings.mean_level;
  if (state.left.few) trust_edges(trust, *state.left.few, level_kept);
  // An averaged cycle that goes below nothing: the zero is wrong.
  if (const auto& typical = state.epoch->figures.typical_cycle;
      typical && level_kept && !trust.no_dc &&
      typical->figures.percent_flicker >
          most_percent + within_sds * typical->figures.percent_flicker_sd) {
    trust.below_zero = true;
  }
  if (!(tones.mean > 0.0)) return;
  const Tone* strongest = tones::strongest_tone(tones);
  const double ripple = strongest ? strongest->amplitude : 0.0;
  const double least = std::max({nobody_minds * tones.mean, model_leaves * ripple,
                                 steps_rms * capture.step_beside(tones.mean)});
  const bool strays = has_strays(state, ripple);
  state.excess = beyond_what_was_found(state, capture);
  const double forgiven = std::max(least * least, slow_noise_play * state.left.slow_noise_power);
  if (total_power(state.left.surplus) <= forgiven) state.left.surplus.clear();
  trust.unexplained = !state.left.surplus.empty() || strays || state.excess;
}

}  // namespace lampbeat::signal::measurement
