#include "signal/states/epoch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "signal/tones/rhythm.hpp"

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
/// A steady level below a twentieth of another is a lamp that is off, whatever leaks.
constexpr double as_bright_share = 0.05;
/// Frequencies of one rhythm as seen in two windows.
constexpr double same_cycle = 0.02;
constexpr std::size_t most_stretches = 64;
constexpr std::size_t most_values = 600;
/// Near its detection floor a tone comes and goes with the noise.
constexpr double floors_of_a_change = 3.0;

template <typename Visit>
void for_each_tone(ToneAnalysis& analysis, Visit visit) {
  for (ToneSeries& series : analysis.series) {
    for (Tone& tone : series.tones) visit(series, tone);
  }
}

}  // namespace

void WindowValues::add(double value) {
  highest_ = values_.empty() ? value : std::max(highest_, value);
  values_.push_back(value);
  if (values_.size() <= most_values) return;
  std::vector<double> joined;
  for (std::size_t i = 0; i + 1 < values_.size(); i += 2) {
    joined.push_back((values_[i] + values_[i + 1]) / 2.0);
  }
  if (values_.size() % 2 == 1) joined.push_back(values_.back());
  values_ = std::move(joined);
}

void WindowValues::add(const WindowValues& others) {
  const double highest = std::max(highest_, others.highest_);
  for (const double value : others.values_) add(value);
  highest_ = highest;
}

double WindowValues::median() const {
  std::vector<double> sorted = values_;
  std::sort(sorted.begin(), sorted.end());
  const std::size_t n = sorted.size();
  return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2.0;
}

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

bool Epoch::as_bright(const ToneAnalysis& tones) const {
  // No light's rhythm is stronger than twice its level: a recording that has none.
  const Tone* strongest = strongest_tone(first_);
  if (strongest && strongest->amplitude > 2.0 * std::abs(first_.mean)) return true;
  const double one = std::abs(tones.mean);
  const double other = std::abs(level());
  const double noise = 3.0 * std::max(tones.noise_sd, first_.noise_sd);
  return std::max(one, other) <= noise ||
         std::min(one, other) >= as_bright_share * std::max(one, other);
}

bool Epoch::covers(double time_s) const {
  constexpr double rounding_s = 1e-9;
  return std::any_of(stretches_.begin(), stretches_.end(), [&](const Stretch& stretch) {
    return time_s >= stretch.from_s - rounding_s && time_s < stretch.to_s - rounding_s;
  });
}

const Stretch& Epoch::longest_stretch() const {
  return *std::max_element(
      stretches_.begin(), stretches_.end(),
      [](const Stretch& a, const Stretch& b) { return a.seconds() < b.seconds(); });
}

void Epoch::absorb(const Epoch& other) {
  stretches_.insert(stretches_.end(), other.stretches_.begin(), other.stretches_.end());
  std::sort(stretches_.begin(), stretches_.end(),
            [](const Stretch& a, const Stretch& b) { return a.from_s < b.from_s; });
  seconds_ += other.seconds_;
  joined_ = true;
  EpochFigures& mine = figures;
  const EpochFigures& its = other.figures;
  if (std::abs(mine.cycle_hz - its.cycle_hz) <= same_cycle * mine.cycle_hz) {
    if (its.percents.highest() > mine.percents.highest()) {
      mine.worst_percent_start_s = its.worst_percent_start_s;
    }
    mine.percents.add(its.percents);
    mine.indices.add(its.indices);
    mine.percent_flicker_variance += its.percent_flicker_variance;
    mine.flicker_index_variance += its.flicker_index_variance;
    mine.windows_with_cycle += its.windows_with_cycle;
    for (const RhythmFigures& more : its.rhythms) {
      const auto same = std::find_if(
          mine.rhythms.begin(), mine.rhythms.end(),
          [&](const RhythmFigures& r) { return std::abs(r.hz - more.hz) <= same_cycle * r.hz; });
      if (same == mine.rhythms.end()) {
        mine.rhythms.push_back(more);
        continue;
      }
      same->percents.add(more.percents);
      same->variance += more.variance;
      same->windows += more.windows;
    }
  }
  mine.strongest_doubtful = std::max(mine.strongest_doubtful, its.strongest_doubtful);
  const auto widen = [](std::optional<double>& one, const std::optional<double>& by, auto pick) {
    if (by) one = one ? pick(*one, *by) : *by;
  };
  widen(mine.lowest_mean, its.lowest_mean, [](double a, double b) { return std::min(a, b); });
  widen(mine.highest_mean, its.highest_mean, [](double a, double b) { return std::max(a, b); });
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    LowPassFigure& one = mine.lowpass[cut_off];
    const LowPassFigure& more = its.lowpass[cut_off];
    one.percent = std::max(one.percent, more.percent);
    one.in_every_window = one.in_every_window && more.in_every_window;
  }
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
  if (stretches_.empty() || (!goes_on && stretches_.size() < most_stretches)) {
    stretches_.push_back(window);
  } else {
    stretches_.back().to_s = window.to_s;
  }
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
