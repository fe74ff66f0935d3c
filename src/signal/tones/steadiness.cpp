#include "signal/tones/steadiness.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "arithmetic/phase.hpp"
#include "signal/tones/edge_folds.hpp"

namespace lampbeat::signal::tones {

namespace {

double phase_at_centre(const Tone& tone, double duration_s) {
  return tone.phase_rad + arithmetic::turn * tone.hz * duration_s / 2.0;
}

/// What unseen multiples of the series may add to each of its tones.
std::vector<double> folded_onto(const ToneSeries& series, double rate_hz, double window_s) {
  ToneAnalysis alone;
  alone.series = {series};
  const EdgeFolds folds(alone, rate_hz, window_s);
  std::vector<double> folded;
  for (const Tone& tone : series.tones) folded.push_back(folds.on_tone(tone.hz));
  return folded;
}

/// What each tone tells of the series' shift: (order · amplitude)², less where what folds onto it
/// may turn its phase by more than the noise does.
std::vector<double> information_of(const ToneSeries& series, const std::vector<double>& folded,
                                   double amplitude_sd) {
  std::vector<double> information;
  for (std::size_t i = 0; i < series.tones.size(); ++i) {
    const double swing = series.tones[i].order * series.tones[i].amplitude;
    const double noise = amplitude_sd * amplitude_sd;
    const double worse = noise + folded[i] * folded[i] / 2.0;
    information.push_back(swing * swing * (folded[i] > 0.0 ? noise / worse : 1.0));
  }
  return information;
}

double sum_of(const std::vector<double>& values) {
  return std::accumulate(values.begin(), values.end(), 0.0);
}

/// How far what folds may turn the fundamental, rad, when the tones count by `information`.
double folded_turn_rad(const ToneSeries& series, const std::vector<double>& folded,
                       const std::vector<double>& information) {
  double turned = 0.0;
  for (std::size_t i = 0; i < folded.size(); ++i) {
    if (folded[i] <= 0.0) continue;
    const Tone& tone = series.tones[i];
    turned += information[i] * folded[i] / (tone.amplitude * tone.order);
  }
  return turned / sum_of(information);
}

}  // namespace

double SteadinessTracker::shift_of(const ToneSeries& series, const std::vector<double>& information,
                                   double elapsed_s, double duration_s) const {
  // Where the last window and both windows' frequencies expect it; only the rest is wrapped.
  const double drift_hz = (series.fundamental_hz + clock_.last().hz) / 2.0 - clock_.reference_hz();
  const double expected =
      clock_.last().shift_rad + arithmetic::turn * drift_hz * (elapsed_s - clock_.last().elapsed_s);
  double deviation = 0.0;
  for (std::size_t i = 0; i < series.tones.size(); ++i) {
    const Tone& tone = series.tones[i];
    const double order = tone.order;
    const double steady =
        arithmetic::turn * std::fmod(order * clock_.reference_hz() * elapsed_s, 1.0);
    const double difference = arithmetic::wrapped_rad(
        phase_at_centre(tone, duration_s) - reference_phase_[i] - steady - order * expected);
    deviation += information[i] * difference / order;
  }
  return expected + deviation / sum_of(information);
}

void SteadinessTracker::add(const ToneSeries& series, double start_s, double duration_s,
                            double noise_sd, double samples) {
  if (series.tones.empty() || !(series.fundamental_hz > 0.0)) return;
  const std::vector<double> folded = folded_onto(series, samples / duration_s, duration_s);
  const double least_noise = smallest_phase_sd_rad * series.tones.front().amplitude;
  const std::vector<double> by_tone =
      information_of(series, folded, std::max(noise_sd, least_noise) * std::sqrt(2.0 / samples));
  const double information = sum_of(by_tone);
  if (!(information > 0.0)) return;
  const double centre_s = start_s + duration_s / 2.0;
  if (clock_.windows() == 0) {
    origin_s_ = centre_s;
    clock_.set_reference(series.fundamental_hz);
    for (const Tone& tone : series.tones) {
      reference_phase_.push_back(phase_at_centre(tone, duration_s));
    }
  }
  if (series.tones.size() != reference_phase_.size()) return;
  ClockReading reading;
  reading.elapsed_s = centre_s - origin_s_;
  reading.shift_rad =
      clock_.windows() == 0 ? 0.0 : shift_of(series, by_tone, reading.elapsed_s, duration_s);
  reading.shift_sd_rad = noise_sd * std::sqrt(2.0 / (samples * information));
  reading.hz = series.fundamental_hz;
  // A window's own frequency counts all its tones alike.
  const double turned_rad = folded_turn_rad(
      series, folded, information_of(series, std::vector<double>(folded.size()), 0.0));
  reading.hz_sd =
      std::hypot(series.fundamental_hz_sd, turned_rad / (arithmetic::turn * duration_s));
  folded_rad_ = std::max(folded_rad_, folded_turn_rad(series, folded, by_tone));
  clock_.add(reading);
}

std::optional<LongTermFrequency> SteadinessTracker::result() const {
  std::optional<LongTermFrequency> found = clock_.result();
  const double elapsed_s = clock_.last().elapsed_s;
  // What folds turns so slowly that it does not average out.
  if (found && clock_.windows() > 1 && elapsed_s > 0.0) {
    found->fundamental_hz_sd =
        std::hypot(found->fundamental_hz_sd, folded_rad_ / (arithmetic::turn * elapsed_s));
  }
  return found;
}

}  // namespace lampbeat::signal::tones
