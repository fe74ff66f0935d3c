#include "signal/tones/steadiness.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "arithmetic/phase.hpp"
#include "signal/tones/edge_folds.hpp"

namespace lampbeat::signal::tones {

namespace {

/// Without noise the fits' uncertainties collapse to rounding errors; below these, differences
/// between windows say nothing about the light.
constexpr double smallest_phase_sd_rad = 1e-6;
constexpr double smallest_hz_sd = 1e-7;
/// Three windows have one phase and two frequencies left that could disagree.
constexpr std::size_t fewest_windows_to_wander = 4;
/// How far chi-squared over its freedom must stand above 1, in standard deviations, before chance
/// hardly explains it: to widen an uncertainty (one capture in 25, so that no figure is worth less
/// than its ±), and to call the frequency wandering (one in 1000 of four windows, in 30 000 of
/// thirty).
constexpr double chances_to_widen = 2.0;
constexpr double chances_to_wander = 5.0;
/// Neighbouring windows of a wandering frequency are alike, so they do not average out as strangers
/// would: so many of them tell as much as one.
constexpr double windows_alike = 4.0;

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
  const double drift_hz = (series.fundamental_hz + last_hz_) / 2.0 - reference_hz_;
  const double expected = last_shift_ + arithmetic::turn * drift_hz * (elapsed_s - last_elapsed_s_);
  double deviation = 0.0;
  for (std::size_t i = 0; i < series.tones.size(); ++i) {
    const Tone& tone = series.tones[i];
    const double order = tone.order;
    const double steady = arithmetic::turn * std::fmod(order * reference_hz_ * elapsed_s, 1.0);
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
  if (windows_ == 0) {
    origin_s_ = centre_s;
    reference_hz_ = last_hz_ = series.fundamental_hz;
    for (const Tone& tone : series.tones) {
      reference_phase_.push_back(phase_at_centre(tone, duration_s));
    }
  }
  if (series.tones.size() != reference_phase_.size()) return;
  const double elapsed_s = centre_s - origin_s_;
  const double shift = windows_ == 0 ? 0.0 : shift_of(series, by_tone, elapsed_s, duration_s);

  const double phase_sd =
      std::max(noise_sd * std::sqrt(2.0 / (samples * information)), smallest_phase_sd_rad);
  const double w = 1.0 / (phase_sd * phase_sd);
  shifts_.w += w;
  shifts_.t += w * elapsed_s;
  shifts_.tt += w * elapsed_s * elapsed_s;
  shifts_.y += w * shift;
  shifts_.ty += w * elapsed_s * shift;
  shifts_.yy += w * shift * shift;

  // A window's own frequency counts all its tones alike.
  const double turned_rad = folded_turn_rad(
      series, folded, information_of(series, std::vector<double>(folded.size()), 0.0));
  const double hz_sd =
      std::max(std::hypot(series.fundamental_hz_sd, turned_rad / (arithmetic::turn * duration_s)),
               smallest_hz_sd);
  folded_rad_ = std::max(folded_rad_, folded_turn_rad(series, folded, by_tone));
  const double offset_hz = series.fundamental_hz - reference_hz_;
  const double v = 1.0 / (hz_sd * hz_sd);
  frequencies_.w += v;
  frequencies_.y += v * offset_hz;
  frequencies_.yy += v * offset_hz * offset_hz;

  last_elapsed_s_ = elapsed_s;
  last_shift_ = shift;
  last_hz_ = series.fundamental_hz;
  ++windows_;
}

std::optional<LongTermFrequency> SteadinessTracker::result() const {
  if (windows_ == 0) return std::nullopt;
  LongTermFrequency found;
  double information = frequencies_.w;
  double weighted_hz = frequencies_.y;
  double chi_squared = frequencies_.yy - frequencies_.y * frequencies_.y / frequencies_.w;
  auto freedom = static_cast<double>(windows_ - 1);

  const double spread = shifts_.tt - shifts_.t * shifts_.t / shifts_.w;
  if (windows_ > 1 && spread > 0.0) {
    const double covariance = shifts_.ty - shifts_.t * shifts_.y / shifts_.w;
    const double slope = covariance / spread;
    const double slope_information = arithmetic::turn * arithmetic::turn * spread;
    information += slope_information;
    weighted_hz += slope_information * slope / arithmetic::turn;
    chi_squared += shifts_.yy - shifts_.y * shifts_.y / shifts_.w - slope * covariance;
    freedom += static_cast<double>(windows_ - 2);
  }
  found.fundamental_hz = reference_hz_ + weighted_hz / information;
  found.fundamental_hz_sd = 1.0 / std::sqrt(information);
  if (freedom > 0.0) {
    const double ratio = std::max(0.0, chi_squared) / freedom;
    // A few windows scatter more than expected by chance alone often enough; only what chance
    // hardly explains widens the uncertainty.
    const double chance = std::sqrt(2.0 / freedom);
    if (ratio > 1.0 + chances_to_widen * chance) found.fundamental_hz_sd *= std::sqrt(ratio);
    found.wanders =
        windows_ >= fewest_windows_to_wander && ratio > 1.0 + chances_to_wander * chance;
    const double noise = static_cast<double>(windows_) / frequencies_.w;
    const double scatter =
        frequencies_.yy / frequencies_.w - std::pow(frequencies_.y / frequencies_.w, 2) - noise;
    found.wander_hz = std::sqrt(std::max(0.0, scatter));
    if (found.wanders) {
      found.fundamental_hz_sd =
          std::max(found.fundamental_hz_sd,
                   found.wander_hz /
                       std::sqrt(std::max(1.0, static_cast<double>(windows_) / windows_alike)));
    }
  }
  // It turns so slowly that it does not average out.
  if (windows_ > 1 && last_elapsed_s_ > 0.0) {
    found.fundamental_hz_sd =
        std::hypot(found.fundamental_hz_sd, folded_rad_ / (arithmetic::turn * last_elapsed_s_));
  }
  return found;
}

}  // namespace lampbeat::signal::tones
