#include "signal/states/epoch.hpp"

#include <cmath>

#include "arithmetic/phase.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::states {

namespace {

template <typename Visit>
void for_each_tone(ToneAnalysis& analysis, Visit visit) {
  for (ToneSeries& series : analysis.series) {
    for (Tone& tone : series.tones) visit(tone);
  }
}

void take_frequency(ToneSeries& series, const tones::LongTermFrequency& lead) {
  series.fundamental_hz = lead.fundamental_hz;
  series.fundamental_hz_sd = lead.fundamental_hz_sd;
  for (Tone& tone : series.tones) {
    tone.hz = tone.order * lead.fundamental_hz;
    tone.hz_sd = tone.order * lead.fundamental_hz_sd;
  }
}

/// Turns phases fitted `start_s` into the capture back to its first sample.
void turn_back(ToneAnalysis& tones, double start_s) {
  for_each_tone(tones, [&](Tone& tone) {
    tone.phase_rad = arithmetic::wrapped_rad(tone.phase_rad -
                                             arithmetic::turn * std::fmod(tone.hz * start_s, 1.0));
  });
}

/// Two states are found apart, each numbering its own rhythms: those of `its` under the names they
/// have in this one, as far as it has them.
EpochFigures renamed(EpochFigures its, const ToneAnalysis& mine) {
  const tones::RhythmChoice choice = tones::choose_rhythms(mine);
  std::erase_if(its.rhythms, [&](RhythmFigures& figures) {
    for (std::size_t i = 0; i < choice.rhythms.size(); ++i) {
      if (!same_in_two_states(choice.rhythms[i].hz, figures.hz)) continue;
      figures.fundamental = choice.fundamental[i];
      return false;
    }
    return true;
  });
  return its;
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
  if (const ToneSeries* lead = tones::leading_series(tones); lead && one_run_) {
    lead_.add(*lead, window.from_s, window.seconds(), tones.noise_sd, samples);
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
  lampbeat::signal::states::absorb(figures, renamed(other.figures, first_));
  seconds_ += other.seconds_;
  joined_ = true;
}

void Epoch::add_fold(const cycle::FoldedRhythm& folded, const Rhythm& rhythm,
                     const tones::RhythmChoice& choice, const cycle::WindowTime& window) {
  const ToneSeries* lead = tones::leading_series(first_);
  if (!lead || !one_run_ || choice.fundamental.front() != lead->fundamental) return;
  if (lead_curve_.windows() == 0) lead_multiple_ = choice.rhythms.front().hz / lead->fundamental_hz;
  lead_curve_.add(folded, rhythm, window);
}

std::optional<tones::LongTermFrequency> Epoch::lead_frequency() const {
  auto folded = lead_curve_.result();
  if (!folded || lead_curve_.windows() != lead_.windows()) {
    auto by_tones = lead_.result();
    if (by_tones) {
      by_tones->fundamental_hz_sd =
          std::hypot(by_tones->fundamental_hz_sd, lead_curve_.slide_hz() / lead_multiple_);
    }
    return by_tones;
  }
  folded->fundamental_hz /= lead_multiple_;
  folded->fundamental_hz_sd /= lead_multiple_;
  folded->wander_hz /= lead_multiple_;
  return folded;
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
  const ToneSeries* leading = tones::leading_series(whole);
  if (const auto lead = lead_frequency(); lead && leading) {
    take_frequency(whole.series[static_cast<std::size_t>(leading - whole.series.data())], *lead);
  }
  turn_back(whole, start_s_);
  return whole;
}

}  // namespace lampbeat::signal::states
