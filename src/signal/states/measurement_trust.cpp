#include "signal/states/measurement_trust.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::states {

namespace {

constexpr double slowest_useful_rate_hz = 400.0;   ///< four samples a cycle of 100 Hz light
constexpr double slowest_telling_rate_hz = 202.0;  ///< twice 100 Hz, with the mains a percent high
constexpr double slowest_lamp_hz = 40.0;           ///< no lamp pulses more slowly of itself
/// Where cycles and samples are commensurate, the nearest sample misses a sine's crest by up to
/// 1 − cos(π/n) of its amplitude: of five samples a fifth, of twelve 3 %.
constexpr double fewest_samples_a_cycle = 5.0;
constexpr double good_samples_a_cycle = 12.0;
constexpr double fewest_cycles = 3.0;      ///< two agree by chance, and a fold asks for as many
constexpr double good_duration_s = 0.999;  ///< a second, less what rounding takes
/// Without a rhythm, so little says nothing of any: a spectrum of 32 bins, whose noise the lines
/// would be part of; or five cycles of 100 Hz light.
constexpr std::uint64_t fewest_samples = 64;
constexpr double least_duration_s = 0.05;
/// Of the swing of the readings: a light that goes out rests at its lowest, an AC-coupled
/// recording swings evenly around zero. Only flashes of less than this share of the cycle have so
/// low a mean, and they do not read below zero.
constexpr double mean_around_zero = 0.03;
constexpr double below_zero_share = 0.005;  ///< of the highest reading; 8 bits have steps of 0.004
/// Of a minute at 48 kHz, Gaussian noise reads lower once in 350 captures.
constexpr double noise_reach_sds = 6.0;

/// Whether readings below zero say that the sensor's zero is wrong, or that there is no level.
void trust_level(MeasurementTrust& trust, const CaptureFacts& capture, double mean,
                 const ToneAnalysis& tones) {
  const double lowest = capture.readings.lowest - capture.dark_level();
  const double highest = capture.readings.highest - capture.dark_level();
  const double swing = capture.readings.highest - capture.readings.lowest;
  const double noise = noise_reach_sds * tones.noise_sd;
  trust.below_zero = highest < 0.0;
  const bool negative = lowest + noise < -below_zero_share * std::max(highest, 0.0);
  const bool around_zero = mean <= mean_around_zero * swing && negative;
  const Tone* strongest = tones::strongest_tone(tones);
  const double least =
      strongest ? 3.0 * tones.noise_sd / std::sqrt(static_cast<double>(capture.readings.samples))
                : tones.noise_sd;
  // No light, however short its flashes, has a rhythm stronger than twice its mean.
  const bool impossible =
      strongest && strongest->amplitude > 2.0 * mean + 6.0 * strongest->amplitude_sd + least;
  trust.no_dc = !trust.below_zero && (around_zero || impossible || mean <= least);
  trust.below_zero = negative && !trust.no_dc;
}

}  // namespace

MeasurementTrust trust_in(const CaptureFacts& capture, const StateExtent& state,
                          const ToneAnalysis& tones) {
  MeasurementTrust trust;
  if (!capture.settings.mean_level) trust_level(trust, capture, state.mean, tones);
  trust.clipped = capture.readings.clipping.high + capture.readings.clipping.low > 0;
  trust.one_reading =
      capture.readings.samples > 1 && capture.readings.lowest == capture.readings.highest;
  trust.not_analysed = !tones.analysed;
  trust.steady = tones.analysed && tones.series.empty();
  const double rate_hz = capture.rate_hz;
  const double duration_s = capture.readings.end_s;
  // Between twice the light's frequency and four times it a rhythm shows its frequency, not its
  // shape; where none shows, one at half the rate may be there all the same.
  const Tone* strongest = tones::strongest_tone(tones);
  trust.frequency_only = rate_hz < slowest_useful_rate_hz && rate_hz > slowest_telling_rate_hz &&
                         strongest != nullptr && strongest->hz > slowest_lamp_hz;
  trust.rate_hides_mains = rate_hz < slowest_useful_rate_hz && !trust.frequency_only;
  trust.short_capture = duration_s < good_duration_s;
  trust.seconds = state.seconds;
  if (!strongest) {
    trust.too_short = capture.readings.samples < fewest_samples ||
                      (duration_s < least_duration_s && !trust.rate_hides_mains);
    return trust;
  }
  const tones::RhythmChoice choice = tones::choose_rhythms(tones);
  double slowest_hz = choice.rhythms.empty() ? strongest->hz : choice.rhythms.front().hz;
  for (const Rhythm& rhythm : choice.rhythms) slowest_hz = std::min(slowest_hz, rhythm.hz);
  trust.rate_too_low = rate_hz < fewest_samples_a_cycle * strongest->hz;
  trust.rate_marginal = !trust.rate_too_low && rate_hz < good_samples_a_cycle * strongest->hz;
  trust.slowest_hz = slowest_hz;
  trust.too_short = state.seconds * slowest_hz < fewest_cycles;
  return trust;
}

}  // namespace lampbeat::signal::states
