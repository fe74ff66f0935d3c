#include "signal/states/epoch.hpp"

#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::states {

namespace {

template <typename Visit>
void for_each_tone(ToneAnalysis& analysis, Visit visit) {
  for (ToneSeries& series : analysis.series) {
    for (Tone& tone : series.tones) visit(tone);
  }
}

/// Each tone keeps its multiple of the fundamental, as first found.
void take_frequency(ToneSeries& series, const ToneSeries& first,
                    const tones::LongTermFrequency& lead) {
  series.fundamental_hz = lead.fundamental_hz;
  series.fundamental_hz_sd = lead.fundamental_hz_sd;
  for (std::size_t k = 0; k < series.tones.size(); ++k) {
    Tone& tone = series.tones[k];
    const double order = first.tones[k].hz / first.fundamental_hz;
    tone.hz = order * lead.fundamental_hz;
    tone.hz_sd = order * lead.fundamental_hz_sd;
  }
}

/// Turns phases fitted `start_s` into the capture back to its first sample.
void turn_back(ToneAnalysis& tones, double start_s) {
  for_each_tone(tones, [&](Tone& tone) {
    tone.phase_rad = arithmetic::wrapped_rad(
        tone.phase_rad - 2.0 * std::numbers::pi * std::fmod(tone.hz * start_s, 1.0));
  });
}

}  // namespace

Epoch::Epoch(const ToneAnalysis& first, double start_s) : first_(first), start_s_(start_s) {
  std::size_t tones = 0;
  for (const ToneSeries& series : first_.series) tones += series.tones.size();
  sums_.resize(tones);
}

void Epoch::add(const ToneAnalysis& tones, const Stretch& window, double samples, bool goes_on) {
  std::size_t i = 0;
  for (const ToneSeries& series : tones.series) {
    for (const Tone& tone : series.tones) {
      if (i >= sums_.size()) break;
      sums_[i].amplitude += tone.amplitude;
      sums_[i].variance += tone.amplitude_sd * tone.amplitude_sd;
      sums_[i].hz += tone.hz;
      ++i;
    }
  }
  // A lamp that went and came back need not have kept its phase.
  one_run_ = one_run_ && (goes_on || windows_ == 0);
  if (!tones.series.empty() && one_run_) {
    lead_.add(tones.series.front(), window.from_s, window.seconds(), tones.noise_sd, samples);
  }
  noise_sum_ += tones.noise_sd * tones.noise_sd;
  mean_sum_ += tones.mean;
  floor_sum_ += tones.detection_floor;
  seconds_ += window.seconds();
  lampbeat::signal::states::add(stretches_, window, goes_on);
  ++windows_;
}

void Epoch::absorb(const Epoch& other) {
  lampbeat::signal::states::join(stretches_, other.stretches_);
  lampbeat::signal::states::absorb(figures, other.figures);
  seconds_ += other.seconds_;
  joined_ = true;
}

ToneAnalysis Epoch::whole() const {
  ToneAnalysis whole = first_;
  if (windows_ == 0) return whole;
  const double n = windows_;
  whole.mean = mean_sum_ / n;
  whole.noise_sd = std::sqrt(noise_sum_ / n);
  whole.detection_floor = floor_sum_ / n;
  std::size_t i = 0;
  for_each_tone(whole, [&](Tone& tone) {
    const Sum& sum = sums_[i++];
    tone.amplitude = sum.amplitude / n;
    tone.amplitude_sd = std::sqrt(sum.variance) / n;
    tone.hz = sum.hz / n;
    tone.hz_sd /= std::sqrt(n);
  });
  if (const auto lead = lead_.result(); lead && !whole.series.empty()) {
    take_frequency(whole.series.front(), first_.series.front(), *lead);
  }
  turn_back(whole, start_s_);
  return whole;
}

}  // namespace lampbeat::signal::states
