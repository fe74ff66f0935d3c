#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "signal/course/whole_cycle.hpp"
#include "signal/measurement/honesty.hpp"
#include "signal/measurement/measurement_builder.hpp"

// What the capture holds beside the rhythms of its windows, and what that does to the result.

namespace lampbeat {

namespace {

/// Irregular light below this nobody could film or see, rms over the mean.
constexpr double nobody_minds = 3e-4;
/// Beside a rhythm this share of its amplitude may be what the model of it leaves.
constexpr double model_leaves = 0.02;
/// A converter's step leaves steps of its own size, up to this rms.
constexpr double steps_rms = 0.6;
constexpr double coarsest_step = 0.02;  ///< of the mean; larger ones are the light's
/// Stray readings count from this much of the mean on, and beside a rhythm from this much of its
/// amplitude.
constexpr double least_stray = 0.01;
constexpr double stray_of_rhythm = 0.5;
constexpr double short_and_rare = 0.1;  ///< of all readings
/// A drift that crosses a converter's step jumps by one.
constexpr double steps_of_a_jump = 1.6;
/// Gaussian noise reaches this far in no capture anybody can take; the rest is the model's play.
constexpr double noise_reach_sds = 8.0;
constexpr double scatter_play = 1.3;
/// No model of 1/f noise is truer than this share of its power.
constexpr double slow_noise_play = 0.03;
/// A steady light may drift by so much of its level in all, or, in a long capture, a second.
constexpr double most_drift = 0.1;
constexpr double most_drift_a_second = 0.005;
/// A swing beyond what was found counts from this much of the mean on.
constexpr double least_excess = 1e-3;

double total_power(const signal::LeftOver& left) {
  double power = 0.0;
  for (const signal::Surplus& surplus : left.surplus) power += surplus.power;
  return power;
}

std::string hertz(double hz) {
  return hz < 9.95 ? fmt::format("{:.2g} Hz", hz) : fmt::format("{:.0f} Hz", hz);
}

std::string band_words(const std::vector<UnexplainedLight>& bands) {
  std::string words;
  for (std::size_t i = 0; i < std::min<std::size_t>(bands.size(), 3); ++i) {
    words += fmt::format("{}from {} to {}", i == 0 ? "" : (i + 1 < bands.size() ? ", " : " and "),
                         hertz(bands[i].from_hz), hertz(bands[i].to_hz));
  }
  return words;
}

}  // namespace

signal::LeftOver MeasurementBuilder::left_over_in(const signal::LeftOverAccount& account,
                                                  double level) const {
  signal::NoiseKnowledge known;
  known.level = level;
  known.half_rate_hz = mean_rate_hz() / 2.0;
  if (settings_.dark) known.dark = settings_.dark->bands;
  known.step = std::min(code_step_, coarsest_step * std::abs(level));
  return account.result(known, !settings_.mean_level);
}

void MeasurementBuilder::judge_left_over(JudgedState& state) const {
  const signal::LeftOver& left = state.left;
  const ToneAnalysis& tones = state.tones;
  MeasurementTrust& trust = state.trust;
  if (left.few) {
    trust.too_short = !left.few->hz;
    trust.steady = false;
    const double wrong = left.few->low + 0.003 * left.few->high + 5.0 * left.few->level_sd;
    if (!settings_.mean_level && !trust.no_dc && wrong < 0.0) trust.below_zero = true;
  }
  // An averaged cycle that goes below nothing: the zero is wrong.
  if (const auto& cycle = state.epoch->figures.typical_cycle;
      cycle && !settings_.mean_level && !trust.no_dc &&
      cycle->percent_flicker > 100.6 + 5.0 * cycle->percent_flicker_sd) {
    trust.below_zero = true;
  }
  if (!(tones.mean > 0.0)) return;
  const Tone* strongest = strongest_tone(tones);
  const double ripple = strongest ? strongest->amplitude : 0.0;
  const double least = std::max({nobody_minds * tones.mean, model_leaves * ripple,
                                 steps_rms * std::min(code_step_, coarsest_step * tones.mean)});
  // A line that turned out to be noise was folded into the readings and tore them.
  const bool torn = tones.series.empty() && !state.epoch->steady();
  const bool strays =
      left.strays.samples > 0 && !torn &&
      static_cast<double>(left.strays.samples) < short_and_rare * samples_of(*state.epoch) &&
      left.strays.off > std::max(least_stray * tones.mean, stray_of_rhythm * ripple);
  state.excess = beyond_what_was_found(state);
  const double forgiven = std::max(least * least, slow_noise_play * left.slow_noise_power);
  if (total_power(left) <= forgiven) state.left.surplus.clear();
  trust.unexplained = !left.surplus.empty() || strays || state.excess.off > 0.0;
}

/// The one rule by which a verdict agrees with the readings' own swing: what was found (rhythms,
/// noise, drift) must reach as far as the readings do.
signal::Excess MeasurementBuilder::beyond_what_was_found(const JudgedState& state) const {
  const signal::LeftOver& left = state.left;
  const ToneAnalysis& tones = state.tones;
  if (left.few || left.slow || !tones.analysed) return {};
  signal::LevelRange level = left.drift;
  const double middle = (level.lowest + level.highest) / 2.0;
  const double drift = std::max(most_drift, most_drift_a_second * left.seconds) * tones.mean / 2.0;
  level.lowest = std::max(level.lowest, middle - drift);
  level.highest = std::min(level.highest, middle + drift);
  double rhythms = 0.0;
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) rhythms += tone.amplitude;
  }
  for (const signal::Hum& hum : state.hum) rhythms += hum.amplitude;
  const double step = std::min(code_step_, coarsest_step * tones.mean);
  // A few readings far out raise the deviation, not the scatter of most readings; that knows no
  // better than to a converter's step.
  const double most = left.strays.scatter_sd;
  const double white = std::clamp(tones.noise_sd, most, scatter_play * (most + step));
  const double noise = std::hypot(white, std::sqrt(left.slow_noise_power));
  const double reach = rhythms + noise_reach_sds * noise + least_excess * tones.mean + step;
  signal::Excess excess = signal::beyond(left.extremes, level, reach);
  if (left.jump && tones.series.empty() &&
      left.jump->size > std::max(excess.off, steps_of_a_jump * step)) {
    excess = {left.jump->size, left.jump->at_s, signal::Extremes::kept};
  }
  // Beside a rhythm a few single readings are the recorder's.
  const bool counts = tones.series.empty() ||
                      (excess.readings >= signal::Extremes::kept &&
                       excess.off > std::max(least_stray * tones.mean, stray_of_rhythm * rhythms));
  return counts ? excess : signal::Excess{};
}

void MeasurementBuilder::take_left_over(Measurement& m, const JudgedState& state) const {
  const signal::LeftOver& left = state.left;
  const ToneAnalysis& tones = state.tones;
  const MeasurementTrust& trust = state.trust;
  if (trust.figures()) {
    const double shift = -settings_.dark_level.value_or(0.0);
    const signal::Swing readings{lowest_ + shift, highest_ + shift};
    const EpochFigures& windows = state.epoch->figures;
    // A slow rhythm's multiples, taken for rhythms of their own by the windows, are part of it.
    const bool fast = windows.cycle_hz >= signal::slow_rhythms_below_hz;
    const auto cycle = signal::whole_cycle(
        left, fast ? windows.typical_cycle : std::optional<CycleFigures>(), readings);
    if (cycle) {
      m.percent_flicker = std::min(100.0, cycle->percent_flicker);
      m.percent_flicker_sd = cycle->percent_flicker_sd;
      m.flicker_index = cycle->flicker_index;
      m.flicker_index_sd = cycle->flicker_index_sd;
      m.cycle = measured_cycle(*cycle, left.few ? *left.few->hz : left.slow->rhythm.hz);
    }
  }
  const bool judged = trust.mean() && !trust.rate_hides_mains && !trust.not_analysed &&
                      !trust.too_short && tones.mean > 0.0 &&
                      (left.from_hz > 0.0 || state.excess.off > 0.0);
  if (!judged) return;
  if (m.steady_below_percent) m.steady_from_hz = left.from_hz;
  m.unexplained_percent = 0.0;
  if (!trust.unexplained) return;
  double power = 0.0;
  for (const signal::Surplus& surplus : left.surplus) {
    if (surplus.power < 0.03 * total_power(left)) continue;
    power += surplus.power;
    m.unexplained.push_back(
        {surplus.from_hz, surplus.to_hz, std::sqrt(surplus.power) / tones.mean});
  }
  const double off = std::max(left.strays.off, state.excess.off);
  if (m.unexplained.empty() && off > 0.0) {
    // Short and rare, it stands out of its frame or row at full depth: as strong as a sine that
    // swings as far.
    power = off * off / 8.0;
    m.unexplained.push_back({left.from_hz > 0.0 ? left.from_hz : 1.0 / left.seconds,
                             mean_rate_hz() / 2.0, std::sqrt(power) / tones.mean});
  }
  m.unexplained_percent = 100.0 * std::sqrt(power) / tones.mean;
  if (m.percent_flicker_sd) {
    m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, *m.unexplained_percent);
  }
}

void MeasurementBuilder::doubt_left_over(Measurement& m, const JudgedState& state) const {
  const signal::LeftOver& left = state.left;
  const ToneAnalysis& tones = state.tones;
  const MeasurementTrust& trust = state.trust;
  if (left.few && trust.mean()) {
    m.warnings.push_back(
        left.few->hz ? honesty::figures_from_edges(std::max(left.few->rises, left.few->falls))
                     : honesty::edges_too_few(left.few->rises, left.few->falls));
  }
  if (!trust.unexplained || m.unexplained.empty()) return;
  if (left.surplus.empty() && (state.excess.off > 0.0 || left.strays.samples == 0)) {
    m.warnings.push_back(honesty::swing_unexplained(100.0 * state.excess.off / tones.mean,
                                                    state.excess.readings < signal::Extremes::kept,
                                                    state.excess.at_s));
  } else if (left.surplus.empty()) {
    m.warnings.push_back(honesty::stray_light(
        100.0 * left.strays.off / tones.mean,
        100.0 * static_cast<double>(left.strays.samples) / samples_of(*state.epoch),
        left.strays.at_s));
  } else {
    m.warnings.push_back(honesty::unexplained_light(*m.unexplained_percent,
                                                    band_words(m.unexplained), trust.steady));
  }
}

}  // namespace lampbeat
