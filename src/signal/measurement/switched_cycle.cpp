#include "signal/measurement/switched_cycle.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "signal/cycle/converter_step.hpp"
#include "signal/cycle/percent_moved.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::measurement {
namespace {

/// A tone of noise alone is as strong once in 270,000.
constexpr double swings_sds = 5.0;

/// What windows see of a clock that strays, in standard deviations of its pulses.
constexpr double strays_sds = 3.0;

/// Whether the levels swing at a tone's frequency.
bool swings(const Window& light, const pulses::TwoLevels& levels, double hz) {
  const std::complex<double> step = std::polar(1.0, -arithmetic::turn * hz * light.interval_s);
  std::complex<double> turned = 1.0;
  std::complex<double> sum = 0.0;
  const double middle = levels.middle();
  double squares = 0.0;
  for (const double x : light.value) {
    const double off = x - (x > middle ? levels.high.value : levels.low.value);
    sum += off * turned;
    squares += off * off;
    turned *= step;
  }
  return std::norm(sum) > swings_sds * swings_sds * squares / 2.0;
}

/// Variance of an averaged cycle's cells on one side of its middle.
double variance_of_side(const cycle::PhaseCurve& curve, bool high) {
  double lowest = HUGE_VAL;
  double highest = -HUGE_VAL;
  for (std::size_t c = 0; c < curve.value.size(); ++c) {
    if (curve.count[c] == 0.0) continue;
    lowest = std::min(lowest, curve.value[c]);
    highest = std::max(highest, curve.value[c]);
  }
  double n = 0.0, sum = 0.0, squares = 0.0;
  for (std::size_t c = 0; c < curve.value.size(); ++c) {
    if (curve.count[c] == 0.0 || (curve.value[c] > (lowest + highest) / 2.0) != high) continue;
    n += curve.count[c];
    sum += curve.count[c] * curve.value[c];
    squares += curve.count[c] * curve.value[c] * curve.value[c];
  }
  return n > 0.0 ? std::max(0.0, squares / n - sum / n * (sum / n)) : 0.0;
}

/// A sine's extremes lie √2 of its rms from its mean.
double swing_of(const pulses::Level& level, double explained) {
  const double variance = level.samples * level.sd * level.sd;
  const double noise = level.noise_sd * level.noise_sd;
  const double by_chance = swings_sds / std::sqrt(level.samples) * noise;
  const double beyond = variance - noise - explained;
  return beyond > by_chance ? std::numbers::sqrt2 * std::sqrt(beyond) : 0.0;
}

bool may_be(double hz, const pulses::PulseClock& clock) {
  return std::abs(hz - clock.hz) <= strays_sds * std::hypot(clock.spread * clock.hz, clock.hz_sd);
}

}  // namespace

bool levels_are_all(const Window& light, const pulses::TwoLevels& levels,
                    const ToneAnalysis& tones) {
  if (!levels.flat || !light.even()) return false;
  // One series alone is the switching itself.
  if (tones.series.size() < 2) return true;
  return std::none_of(tones.series.begin(), tones.series.end(), [&](const ToneSeries& series) {
    return !series.tones.empty() && swings(light, levels, series.tones.front().hz);
  });
}

void read_from_levels(CycleFigures& figures, const pulses::TwoLevels& levels) {
  const double high = levels.high.value;
  const double low = levels.low.value;
  const double sum = high + low;
  if (!(sum > 0.0)) return;
  figures.highest = high;
  figures.lowest = low;
  figures.percent_flicker = 100.0 * (high - low) / sum;
  figures.percent_flicker_bound =
      cycle::percent_moved(high, low, cycle::rounding_left(levels.step, levels.high.noise_sd),
                           cycle::rounding_left(levels.step, levels.low.noise_sd));
  figures.percent_flicker_sd =
      std::hypot(cycle::percent_moved(high, low, levels.high.sd, levels.low.sd),
                 figures.percent_flicker_bound);
}

void widen_by_swing(CycleFigures& figures, const pulses::TwoLevels& levels,
                    const cycle::PhaseCurve& curve) {
  const double high = levels.high.value;
  const double low = levels.low.value;
  if (levels.flat || !(high + low > 0.0)) return;
  const double moved =
      cycle::percent_moved(high, low, swing_of(levels.high, variance_of_side(curve, true)),
                           swing_of(levels.low, variance_of_side(curve, false)));
  figures.percent_flicker_bound = std::hypot(figures.percent_flicker_bound, moved);
  figures.percent_flicker_sd = std::hypot(figures.percent_flicker_sd, moved);
}

void read_from_on_share(CycleFigures& figures, const pulses::TwoLevels& levels,
                        const pulses::OnShare& on) {
  const double swing = levels.swing();
  const double off = 1.0 - on.value;
  const double mean = levels.low.value + on.value * swing;
  if (!(mean > 0.0)) return;
  figures.mean = mean;
  figures.flicker_index = swing * on.value * off / mean;
  const double slope = swing * ((off - on.value) * mean - on.value * off * swing) / (mean * mean);
  const double by_level = levels.low.value * levels.high.sd + levels.high.value * levels.low.sd;
  figures.flicker_index_sd = std::hypot(slope * on.sd, on.value * off * by_level / (mean * mean));
  figures.flicker_index_bound = 0.0;
}

ToneAnalysis with_pulses_counted(ToneAnalysis tones, const pulses::PulseClock& clock) {
  const Tone* strongest = tones::strongest_tone(tones);
  if (!strongest || !may_be(strongest->hz, clock)) return tones;
  for (ToneSeries& series : tones.series) {
    const auto of_it = [&](const Tone& tone) { return &tone == strongest; };
    if (std::none_of(series.tones.begin(), series.tones.end(), of_it)) continue;
    const double scale = clock.hz / strongest->hz;
    const double relative_sd = clock.hz_sd / clock.hz;
    series.fundamental_hz *= scale;
    series.fundamental_hz_sd = series.fundamental_hz * relative_sd;
    for (Tone& tone : series.tones) {
      tone.hz *= scale;
      tone.hz_sd = tone.hz * relative_sd;
    }
    break;
  }
  return tones;
}

void count_pulses(Measurement& m, const pulses::PulseClock& clock) {
  if (!m.dominant_hz || may_be(*m.dominant_hz, clock)) return;
  m.dominant_hz = clock.hz;
  m.dominant_hz_sd = clock.hz_sd;
}

}  // namespace lampbeat::signal::measurement
