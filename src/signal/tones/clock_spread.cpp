#include "signal/tones/clock_spread.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::tones {
namespace {

/// A rhythm farther off is another one: an untrimmed RC oscillator strays by 5 % to either side of
/// its mean (per a trade table), 10 % from end to end, and half as much again leaves room.
constexpr double same_clock = 0.15;
/// Three steps: fewer cannot tell a jump to and fro from a walk.
constexpr int fewest_windows = 4;
/// Share of windows that may show another rhythm as the strongest: a third of them would be the
/// other rhythm's capture as much as this one's.
constexpr double most_strangers = 0.3;
/// Straying is more than the fits' own uncertainties explain, and more than an edge between samples
/// feigns: three times their own scatter, nine times their variance, which chance makes of four
/// windows once in ten million (chi-squared of three).
constexpr double beyond_noise_sds = 3.0;
constexpr double least_hz = 0.005;
/// The farthest window is taken to lie at most three standard deviations out: of Gaussian straying,
/// one window in 370 does.
constexpr double sds_to_farthest = 3.0;
/// One jump, or two through a window that saw both, makes nearly all of the way.
constexpr double steps_of_a_jump = 2.2;

const Tone* strongest_free(const ToneAnalysis& window) {
  const Tone* strongest = nullptr;
  for (const ToneSeries& series : window.series) {
    if (series.kind != SeriesKind::free_running) continue;
    for (const Tone& tone : series.tones) {
      if (!strongest || tone.amplitude > strongest->amplitude) strongest = &tone;
    }
  }
  return strongest;
}

}  // namespace

void ClockSpread::add(const ToneAnalysis& window) {
  const Tone* tone = strongest_free(window);
  if (!tone) return;
  if (windows_ > 0 && std::abs(tone->hz - first_hz_) > same_clock * first_hz_) {
    ++strangers_;
    if (strangers_ <= windows_) return;
    // The first was the stranger: begin with this one.
    const int strangers = strangers_ - 1 + windows_;
    *this = {};
    strangers_ = strangers;
  }
  if (windows_ == 0) first_hz_ = last_hz_ = lowest_ = highest_ = tone->hz;
  const double offset = tone->hz - first_hz_;
  sum_ += offset;
  squares_ += offset * offset;
  variance_ += tone->hz_sd * tone->hz_sd;
  lowest_ = std::min(lowest_, tone->hz);
  highest_ = std::max(highest_, tone->hz);
  const double step = std::abs(tone->hz - last_hz_);
  way_ += step;
  longest_step_ = std::max(longest_step_, step);
  last_hz_ = tone->hz;
  ++windows_;
}

std::optional<ClockStray> ClockSpread::about(double about_hz) const {
  if (windows_ < fewest_windows || strangers_ > most_strangers * (windows_ + strangers_)) return {};
  const double n = windows_;
  const double noise = variance_ / n;
  const double own_variance = squares_ / n - (sum_ / n) * (sum_ / n);
  if (own_variance <= std::max(beyond_noise_sds * beyond_noise_sds * noise, least_hz * least_hz) ||
      way_ < steps_of_a_jump * longest_step_) {
    return {};
  }
  // Where the reported frequency is another multiple of the same clock, the middle stands for it.
  const bool near = std::abs(about_hz - first_hz_) <= same_clock * first_hz_;
  const double middle = near ? about_hz : first_hz_ + sum_ / n;
  const double off = first_hz_ + sum_ / n - middle;
  const double farthest = std::max(highest_ - middle, middle - lowest_);
  return ClockStray{middle, lowest_, highest_,
                    std::max(std::hypot(std::sqrt(own_variance), off), farthest / sds_to_farthest)};
}

}  // namespace lampbeat::signal::tones
