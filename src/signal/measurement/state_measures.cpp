#include "signal/measurement/state_measures.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "signal/left_over/hum.hpp"
#include "signal/measurement/polarity.hpp"
#include "signal/states/whole_cycle.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// Of one sample. A series of tones cut off leaves its edges' ringing, which the averaged cycle
/// does not; the scatter of most readings around that one knows the noise where they differ by more
/// than chance.
double noise_beside_edges(const states::JudgedState& state) {
  constexpr double differs = 1.3;
  const double scatter = state.left.strays.scatter_sd;
  const bool rings = scatter > 0.0 && state.tones.noise_sd > differs * scatter;
  return rings ? scatter : state.tones.noise_sd;
}

/// Of the highest reading: noise, and the play of a given level.
constexpr double may_read_negative = 0.02;

MeasuredCycle measured_cycle(const CycleFigures& cycle, double hz) {
  MeasuredCycle measured{hz, {}};
  for (const double x : cycle.shape) measured.shape.push_back(x / cycle.mean);
  return measured;
}

/// Percent flicker and flicker index of the windows, with what they scatter by.
void take_depth(Measurement& m, const states::EpochFigures& figures) {
  const states::Uncertain percent = figures.percents.figure();
  const states::Uncertain index = figures.indices.figure();
  // Light cannot go below nothing: what noise adds beyond 100 % is not the light's.
  m.percent_flicker = std::min(100.0, percent.value);
  m.percent_flicker_sd = percent.sd;
  m.flicker_index = index.value;
  m.flicker_index_sd = index.sd;
}

/// The converter's step. Two readings alone may be a light's two levels as well; so close together
/// that it hardly matters to a light, they are taken for neighbouring codes.
std::optional<double> codes_apart(const states::CaptureFacts& capture, double mean) {
  constexpr double close = 0.1;
  if (capture.readings.step) return capture.readings.step;
  const std::optional<double>& step = capture.readings.code_step;
  return step && *step < close * mean ? step : std::nullopt;
}

/// What no scatter of the windows shows: hum under the lamp's own lines, a converter's steps where
/// two rhythms were taken apart (of one they are counted in the fold), the path from the light to
/// the samples.
void widen(Measurement& m, const states::JudgedState& state, const states::CaptureFacts& capture) {
  const ToneAnalysis& tones = state.tones;
  const states::ResponsePlay& play = state.epoch->figures.response_play;
  m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, play.percent);
  m.flicker_index_sd = std::hypot(*m.flicker_index_sd, play.index);
  if (const auto& typical = state.epoch->figures.typical_cycle;
      typical && capture.settings.mean_level && capture.settings.mean_level_sd > 0.0) {
    // 100 (h − l)/(h + l), where the mean is in both h and l.
    const CycleFigures& cycle = typical->figures;
    const double off = capture.settings.mean_level_sd;
    const double of_percent = 2.0 * *m.percent_flicker * off / (cycle.highest + cycle.lowest);
    m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, of_percent);
    m.flicker_index_sd =
        std::hypot(*m.flicker_index_sd, *m.flicker_index * off / *capture.settings.mean_level);
  }
  if (const auto other = percent_upside_down(state, capture)) {
    // One or the other: a rectangular distribution that reaches as far (GUM 4.3.7).
    m.percent_flicker_sd =
        std::hypot(*m.percent_flicker_sd, (*other - *m.percent_flicker) / std::sqrt(3.0));
  }
  if (capture.settings.dark && tones.mean > 0.0) {
    const double beneath = left_over::hum_beneath(tones, *capture.settings.dark) / tones.mean;
    m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, 100.0 * beneath);
    m.flicker_index_sd = std::hypot(*m.flicker_index_sd, beneath / std::numbers::pi);
  }
  // Without noise to dither it, a converter's step hides where within it an extreme lies: two
  // rounding errors of variance step²/12 over twice the mean.
  const std::optional<double> step = codes_apart(capture, tones.mean);
  const bool one_fold = state.epoch->figures.rhythms.empty();
  if (!one_fold && step && tones.noise_sd < *step) {
    const double step_percent = 100.0 * *step / tones.mean / std::sqrt(24.0);
    m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, step_percent);
    // Over many codes the errors of an area average out.
    const double swing = capture.readings.highest - capture.readings.lowest;
    const double codes = std::max(1.0, swing / *step);
    m.flicker_index_sd = std::hypot(*m.flicker_index_sd, step_percent / 100.0 / codes);
  }
}

}  // namespace

void describe_capture(Measurement& m, const states::CaptureFacts& capture) {
  m.capture = capture.format.name;
  m.capture_kind = capture.format.kind;
  m.samples = capture.readings.samples;
  m.duration_s = capture.readings.end_s;
  m.rate_hz = windows::mean_rate_hz(capture.readings, capture.format);
}

void take_levels(Measurement& m, const states::JudgedState& state,
                 const states::CaptureFacts& capture) {
  const states::MeasurementTrust& trust = state.trust;
  const windows::Readings& readings = capture.readings;
  const std::optional<double>& true_mean = capture.settings.mean_level;
  if (trust.mean()) m.mean = true_mean.value_or(readings.mean() - capture.dark_level());
  if (trust.mean() && !trust.too_short && state.tones.mean > 0.0) {
    m.noise_percent = 100.0 * noise_beside_edges(state) / state.tones.mean;
  }
  if (trust.no_dc || trust.below_zero || capture.extremes.empty()) return;
  const left_over::LevelRange swing = left_over::swing_of(capture.extremes);
  const double sum = swing.highest + swing.lowest;
  // What an AC-coupled recorder's settling takes below nothing is not the light's.
  const bool nonsense =
      capture.coupled() && swing.lowest < 0.0 && -swing.lowest > may_read_negative * swing.highest;
  if (sum > 0.0 && !nonsense) m.percent_flicker_raw = 100.0 * (swing.highest - swing.lowest) / sum;
}

void take_steadiness(Measurement& m, const states::JudgedState& state) {
  const states::MeasurementTrust& trust = state.trust;
  const ToneAnalysis& tones = state.tones;
  const bool steady = trust.steady && !trust.one_reading && !trust.unexplained && trust.mean() &&
                      !trust.rate_hides_mains && !trust.too_short && tones.mean > 0.0;
  if (!steady) return;
  double hidden = std::max(tones.detection_floor, state.epoch->figures.strongest_doubtful);
  for (const left_over::Hum& hum : state.hum) hidden = std::max(hidden, hum.hidden);
  // Noise that ends at a corner is the sensor's by all likelihood, not by proof.
  hidden = std::max(hidden, std::sqrt(state.left.noise.rolled.power()));
  m.steady_below_percent = 100.0 * hidden / tones.mean;
}

void take_cycle(Measurement& m, const states::JudgedState& state,
                const states::CaptureFacts& capture) {
  if (!state.trust.figures()) return;
  const states::EpochFigures& figures = state.epoch->figures;
  const bool steady = state.trust.steady;
  if (!steady && !figures.percents.empty()) {
    take_depth(m, figures);
    widen(m, state, capture);
  }
  const auto& typical = figures.typical_cycle;
  if (!steady && typical && typical->figures.mean > 0.0) {
    m.cycle = measured_cycle(typical->figures, typical->hz);
  }
  m.spectrum = figures.spectrum;
  for (double& a : m.spectrum.amplitude) a *= 100.0 / state.tones.mean;
  for (double& a : m.spectrum.floor) a *= 100.0 / state.tones.mean;
}

void take_slow_cycle(Measurement& m, const states::JudgedState& state,
                     const states::CaptureFacts& capture) {
  if (!state.trust.figures()) return;
  // What is slow in a light that keeps to two levels is how long it stays at either.
  if (m.percent_flicker && state.epoch->figures.levels.held()) return;
  const left_over::LeftOver& left = state.left;
  const double dark = capture.dark_level();
  const states::Swing readings{capture.readings.lowest - dark, capture.readings.highest - dark};
  // A slow rhythm's multiples, taken for rhythms of their own by the windows, are part of it.
  const auto& typical = state.epoch->figures.typical_cycle;
  const bool fast = typical && typical->hz >= course::slow_rhythms_below_hz;
  const auto cycle =
      states::whole_cycle(left, fast ? std::optional(typical->figures) : std::nullopt, readings);
  // What the windows see beats under what they do not: the deeper of both counts.
  if (!cycle || (m.percent_flicker && *m.percent_flicker > cycle->percent_flicker)) return;
  m.percent_flicker = std::min(100.0, cycle->percent_flicker);
  m.percent_flicker_sd = cycle->percent_flicker_sd;
  m.flicker_index = cycle->flicker_index;
  m.flicker_index_sd = cycle->flicker_index_sd;
  m.cycle = measured_cycle(*cycle, left.few ? *left.few->hz : left.slow->rhythm.hz);
}

}  // namespace lampbeat::signal::measurement
