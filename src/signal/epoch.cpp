#include "signal/epoch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "signal/rhythm.hpp"

namespace lampbeat {

namespace {

/// A fit that leaves 30 % more than before no longer describes the light; a change below a
/// thousandth of the mean is nothing anybody could see or film.
constexpr double noise_may_grow = 1.3;
constexpr double nobody_minds = 1e-3;
constexpr double disturbed = 1.5;
/// A tone has changed when it differs by a tenth, by more than the noise explains, and by at least
/// half a percent of the level. Weak companions of the strongest tone are left out.
constexpr double share_may_change = 0.1;
constexpr double sds_may_change = 6.0;
constexpr double level_may_change = 5e-3;
constexpr double companion = 0.3;
/// Near its detection floor a tone comes and goes with the noise.
constexpr double floors_of_a_change = 3.0;

template <typename Visit>
void for_each_tone(ToneAnalysis& analysis, Visit visit) {
  for (ToneSeries& series : analysis.series) {
    for (Tone& tone : series.tones) visit(series, tone);
  }
}

}  // namespace

Epoch::Epoch(const ToneAnalysis& first, double start_s) : first_(first), start_s_(start_s) {
  std::size_t tones = 0;
  for (const ToneSeries& series : first_.series) tones += series.tones.size();
  sums_.resize(tones);
}

bool Epoch::explains(const ToneAnalysis& fit) const {
  const double grown =
      std::sqrt(std::max(0.0, fit.noise_sd * fit.noise_sd - first_.noise_sd * first_.noise_sd));
  const bool fits = fit.noise_sd <= noise_may_grow * first_.noise_sd ||
                    grown <= nobody_minds * std::abs(fit.mean);
  // The first window held the change itself: what follows is another light.
  const bool began_disturbed = windows_ == 1 && first_.noise_sd > disturbed * fit.noise_sd &&
                               first_.noise_sd > nobody_minds * std::abs(fit.mean);
  return fits && !began_disturbed && as_strong(fit);
}

bool Epoch::as_strong(const ToneAnalysis& fit) const {
  const Tone* strongest = strongest_tone(first_);
  if (!strongest) return true;
  // Relative to the level, which may drift; a recording without one is compared as it is.
  const bool level = first_.mean > 0.5 * strongest->amplitude && fit.mean > 0.0;
  const double before = level ? first_.mean : strongest->amplitude;
  const double now = level ? fit.mean : strongest->amplitude;
  for (std::size_t s = 0; s < std::min(fit.series.size(), first_.series.size()); ++s) {
    const auto& was = first_.series[s].tones;
    const auto& is = fit.series[s].tones;
    for (std::size_t k = 0; k < std::min(was.size(), is.size()); ++k) {
      if (was[k].amplitude < companion * strongest->amplitude) continue;
      const double change = std::abs(is[k].amplitude / now - was[k].amplitude / before);
      const double sd = std::hypot(is[k].amplitude_sd / now, was[k].amplitude_sd / before);
      if (change > share_may_change * was[k].amplitude / before + sds_may_change * sd &&
          change > level_may_change) {
        return false;
      }
    }
  }
  return true;
}

bool Epoch::stays_steady(const ToneAnalysis& found) const {
  const Tone* strongest = strongest_tone(found);
  return !strongest || strongest->amplitude < floors_of_a_change * first_.detection_floor;
}

bool Epoch::covers(double time_s) const {
  constexpr double rounding_s = 1e-9;
  return time_s >= start_s_ - rounding_s && time_s < start_s_ + duration_s_ - rounding_s;
}

void Epoch::add(const ToneAnalysis& tones, double start_s, double duration_s, double samples) {
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
  if (!tones.series.empty()) {
    lead_.add(tones.series.front(), start_s, duration_s, tones.noise_sd, samples);
  }
  noise_sum_ += tones.noise_sd * tones.noise_sd;
  mean_sum_ += tones.mean;
  floor_sum_ += tones.detection_floor;
  duration_s_ = start_s + duration_s - start_s_;
  ++windows_;
}

ToneAnalysis Epoch::whole() const {
  ToneAnalysis whole = first_;
  if (windows_ == 0) return whole;
  const double n = windows_;
  whole.mean = mean_sum_ / n;
  whole.noise_sd = std::sqrt(noise_sum_ / n);
  whole.detection_floor = floor_sum_ / n;
  std::size_t i = 0;
  for_each_tone(whole, [&](const ToneSeries&, Tone& tone) {
    const Sum& sum = sums_[i++];
    tone.amplitude = sum.amplitude / n;
    tone.amplitude_sd = std::sqrt(sum.variance) / n;
    tone.hz = sum.hz / n;
    tone.hz_sd /= std::sqrt(n);
  });
  if (const auto lead = lead_.result(); lead && !whole.series.empty()) {
    ToneSeries& series = whole.series.front();
    series.fundamental_hz = lead->fundamental_hz;
    series.fundamental_hz_sd = lead->fundamental_hz_sd;
    for (std::size_t k = 0; k < series.tones.size(); ++k) {
      Tone& tone = series.tones[k];
      const double order = first_.series.front().tones[k].hz / first_.series.front().fundamental_hz;
      tone.hz = order * lead->fundamental_hz;
      tone.hz_sd = order * lead->fundamental_hz_sd;
    }
  }
  // Phases were fitted at the epoch's first window; turn them back to the capture's first sample.
  for_each_tone(whole, [&](const ToneSeries&, Tone& tone) {
    tone.phase_rad =
        std::remainder(tone.phase_rad - 2.0 * std::numbers::pi * std::fmod(tone.hz * start_s_, 1.0),
                       2.0 * std::numbers::pi);
  });
  return whole;
}

}  // namespace lampbeat
