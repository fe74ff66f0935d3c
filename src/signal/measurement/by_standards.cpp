#include <algorithm>
#include <cmath>

#include "signal/measurement/state_measures.hpp"
#include "signal/states/rhythm_percents.hpp"
#include "signal/tones/aliases.hpp"
#include "signal/tones/clock_uncertainty.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// A steady light is counted as one without components where nothing stronger can hide.
constexpr double hides_nothing_percent = 1.0;

std::optional<Ieee1789> worst_rhythm(const Measurement& m, const states::JudgedState& state,
                                     double clock_ppm) {
  if (!m.percent_flicker || !m.dominant_hz) return std::nullopt;
  std::optional<Ieee1789> worst;
  for (const states::RhythmPercent& rhythm :
       states::rhythm_percents(state.tones, state.epoch->figures.rhythms, *m.percent_flicker,
                               m.percent_flicker_sd.value_or(0.0))) {
    const double sd = std::hypot(rhythm.percent_sd, m.unexplained_percent.value_or(0.0));
    const double hz_sd = tones::with_clock(rhythm.hz_sd, rhythm.hz, clock_ppm);
    const Ieee1789 judged = ieee1789(rhythm.percent, sd, rhythm.hz, hz_sd);
    if (!worst || worse(judged, *worst)) worst = judged;
  }
  return worst;
}

/// At the frequency that is worst for it, where the samples do not tell which one is true.
std::optional<double> svm_of(const Measurement& m, const states::JudgedState& state,
                             double rate_hz) {
  // A stretch in the dark may have no level to relate its rhythm to.
  const bool known = state.trust.steady
                         ? m.steady_below_percent && *m.steady_below_percent < hides_nothing_percent
                         : state.tones.mean > 0.0;
  if (!known) return std::nullopt;
  const double seen = svm(light_from(m));
  if (state.alias_doubts.empty()) return seen;
  return std::max(seen, tones::worst_svm(state.tones, state.alias_doubts, rate_hz));
}

void take_low_pass(Measurement& m, const states::JudgedState& state) {
  const states::MeasurementTrust& trust = state.trust;
  const bool supported = trust.mean() && !trust.one_reading && !trust.rate_hides_mains &&
                         !trust.frequency_only && !trust.too_short;
  if (!supported) return;
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    const states::LowPassFigure& figure = state.epoch->figures.lowpass[cut_off];
    if (figure.in_every_window) m.lowpass_percent[cut_off] = figure.percent;
  }
}

}  // namespace

void take_standards(Measurement& m, const states::JudgedState& state,
                    const states::CaptureFacts& capture) {
  take_low_pass(m, state);
  if (state.trust.figures()) {
    m.svm = svm_of(m, state, capture.rate_hz);
    m.pst_lm = capture.pst_lm;
    m.ieee = worst_rhythm(m, state, capture.format.clock_ppm);
  }
  m.standards = standard_verdicts(standard_figures(m));
}

}  // namespace lampbeat::signal::measurement
