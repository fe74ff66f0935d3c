#include "signal/pulses/pulse_train.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::pulses {
namespace {

/// An edge has been crossed when the sample is this far beyond the middle, of the swing.
constexpr double beyond_middle = 0.2;
/// Standard deviation of a place anywhere between two samples, of their distance: 1/√12.
constexpr double anywhere_sd = 0.289;
/// Rises of a steady clock lie anywhere between two samples, or nearer where they come in step with
/// them: their distances from a straight line are no more than `anywhere_sd`. With slack for few.
constexpr double steady_sd = 0.35;
constexpr int fewest_rises = 5;
/// Where one interval is half as long again as another, a pulse between samples may have gone
/// unseen; and such a light is no clock that strays but one of several rhythms.
constexpr double most_uneven = 1.5;
/// Of the time: the rest may be windows of a calm moment.
constexpr double strays_mostly = 0.5;
/// Windows meet, within this share of an interval.
constexpr double seam = 0.01;
constexpr std::size_t most_groups = 16;

/// rms distance of evenly numbered times from a straight line through them, by the sums of n of
/// them.
double off_line(double n, double sum, double squares, double products) {
  const double middle = (n - 1.0) / 2.0;
  const double places = n * (n * n - 1.0) / 12.0;
  const double covariance = products - middle * sum;
  return std::sqrt(std::max(0.0, squares - sum * sum / n - covariance * covariance / places) / n);
}

double off_line_s(const std::vector<double>& rise_s, double reference_s) {
  double sum = 0.0, squares = 0.0, products = 0.0;
  for (std::size_t i = 0; i < rise_s.size(); ++i) {
    const auto place = static_cast<double>(i);
    const double late_s = rise_s[i] - rise_s.front() - place * reference_s;
    sum += late_s;
    squares += late_s * late_s;
    products += place * late_s;
  }
  return off_line(static_cast<double>(rise_s.size()), sum, squares, products);
}

}  // namespace

WindowPulses PulseTrain::add(const Window& window, double start_s,
                             const std::optional<TwoLevels>& levels) {
  WindowPulses pulses;
  const bool goes_on =
      side_ == 0 || std::abs(start_s - end_s_) < seam * std::max(interval_s_, window.interval_s);
  broken_ = broken_ || !levels || !goes_on || window.size() == 0;
  if (!levels || window.size() == 0) return pulses;
  const double high = levels->middle() + beyond_middle * levels->swing();
  const double low = levels->middle() - beyond_middle * levels->swing();
  int side = goes_on ? side_ : 0;
  double crossed_s = -0.5 * window.interval_s;  // between the windows
  double before = levels->low.value;
  for (std::size_t i = 0; i < window.size(); ++i) {
    const double x = window.value[i];
    if (i > 0 && before <= levels->middle() && x > levels->middle()) {
      crossed_s = (window.time_at(i - 1) + window.time_at(i)) / 2.0;
    }
    if (x > high) {
      if (side < 0) pulses.rise_s.push_back(crossed_s);
      side = 1;
    } else if (x < low) {
      side = -1;
    }
    before = x;
  }
  side_ = side;
  interval_s_ = window.interval_s;
  end_s_ = start_s + window.duration_s();
  const std::size_t rises = pulses.rise_s.size();
  if (rises_ == 0.0 && rises > 1) {
    reference_s_ = (pulses.rise_s.back() - pulses.rise_s.front()) / static_cast<double>(rises - 1);
  }
  broken_ = broken_ || !(reference_s_ > 0.0);
  for (const double rise_s : pulses.rise_s) take(start_s + rise_s);
  pulses.stray = rises >= fewest_rises &&
                 off_line_s(pulses.rise_s, reference_s_) > steady_sd * window.interval_s;
  seconds_ += window.duration_s();
  if (pulses.stray) straying_s_ += window.duration_s();
  return pulses;
}

void PulseTrain::take(double rise_s) {
  if (rises_ == 0.0) {
    first_s_ = rise_s;
  } else {
    const double interval_s = rise_s - last_s_;
    shortest_s_ = rises_ == 1.0 ? interval_s : std::min(shortest_s_, interval_s);
    longest_s_ = std::max(longest_s_, interval_s);
    interval_squares_ += (interval_s - reference_s_) * (interval_s - reference_s_);
  }
  const double late_s = rise_s - first_s_ - rises_ * reference_s_;
  late_.s += late_s;
  late_.ss += late_s * late_s;
  late_.place_s += rises_ * late_s;
  last_s_ = rise_s;
  rises_ += 1.0;
}

bool PulseTrain::strays_over_all() const {
  return off_line(rises_, late_.s, late_.ss, late_.place_s) > steady_sd * interval_s_;
}

std::optional<PulseClock> PulseTrain::straying(bool one_light) const {
  if (broken_ || rises_ < fewest_rises || longest_s_ > most_uneven * shortest_s_) {
    return std::nullopt;
  }
  const bool within = straying_s_ >= strays_mostly * seconds_;
  if (!within && !(one_light && strays_over_all())) return std::nullopt;
  const double pulses = rises_ - 1.0;
  const double seconds = last_s_ - first_s_;
  const double mean_s = seconds / pulses;
  PulseClock clock;
  clock.hz = 1.0 / mean_s;
  const double off_s = mean_s - reference_s_;
  clock.spread = std::sqrt(std::max(0.0, interval_squares_ / pulses - off_s * off_s)) / mean_s;
  // Both ends, of an interval and of all of them, lie anywhere between two samples; and beyond
  // them, to the capture's ends, anything up to a pulse passed at its own pace.
  const double ends_turns = std::sqrt(2.0) * anywhere_sd * interval_s_ / mean_s;
  // Even pulses f of a sample longer than whole samples are seen whole or a sample longer.
  const double samples = mean_s / interval_s_;
  const double longer = samples - std::floor(samples);
  const double even_turns = std::sqrt(longer * (1.0 - longer)) / samples;
  const double by_samples = std::max(ends_turns, even_turns);
  clock.stray = std::sqrt(std::max(0.0, clock.spread * clock.spread - by_samples * by_samples));
  const double beyond_turns = std::sqrt(2.0 / 3.0) * clock.spread;
  clock.hz_sd = std::hypot(ends_turns, beyond_turns) / seconds;
  return clock;
}

std::optional<OnShare> on_share(const Window& window, const TwoLevels& levels,
                                const WindowPulses& pulses) {
  const std::size_t whole = pulses.rise_s.empty() ? 0 : pulses.rise_s.size() - 1;
  if (whole < 3) return std::nullopt;
  const std::size_t groups = std::min(most_groups, whole);
  const double middle = levels.middle();
  std::vector<double> share;
  double on = 0.0, all = 0.0;
  std::size_t i = 0;
  while (i < window.size() && window.time_at(i) < pulses.rise_s.front()) ++i;
  for (std::size_t g = 1; g <= groups; ++g) {
    const double to_s = pulses.rise_s[g * whole / groups];
    double high = 0.0, samples = 0.0;
    for (; i < window.size() && window.time_at(i) < to_s; ++i) {
      high += window.value[i] > middle;
      samples += 1.0;
    }
    if (samples > 0.0) share.push_back(high / samples);
    on += high;
    all += samples;
  }
  if (!(all > 0.0) || share.size() < 3) return std::nullopt;
  OnShare found{on / all, 0.0};
  double squares = 0.0;
  for (const double s : share) squares += (s - found.value) * (s - found.value);
  const auto n = static_cast<double>(share.size());
  // Both ends of a pulse lie anywhere between two samples; where the clock keeps steady they may
  // lie alike in every pulse.
  const double pulse_count = static_cast<double>(whole);
  const double off_alike = pulses.stray ? std::sqrt(pulse_count) : pulse_count;
  const double model = anywhere_sd * std::sqrt(2.0) * off_alike / all;
  found.sd = std::sqrt(std::max(squares / (n - 1.0) / n, model * model));
  return found;
}

}  // namespace lampbeat::signal::pulses
