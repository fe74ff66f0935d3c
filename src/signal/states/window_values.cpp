#include "signal/states/window_values.hpp"

#include <algorithm>
#include <utility>

#include "arithmetic/median.hpp"

namespace lampbeat::signal::states {

namespace {

constexpr std::size_t most_values = 600;  ///< ten minutes of windows

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
  std::vector<double> values = values_;
  return arithmetic::median(values);
}

double of_windows(const WindowValues& windows, double window_sd) {
  // The highest of 600 windows of noise lies farther out once in 6000 captures. Folding itself errs
  // by less than the share in nine of ten drawn lights of two rhythms
  // (bench_two_rhythms).
  constexpr double noise_explains = 5.0;
  constexpr double share_explained = 0.03;
  const double middle = windows.median();
  const double allowed = noise_explains * window_sd + share_explained * middle;
  return windows.highest() > middle + allowed ? windows.highest() : middle;
}

}  // namespace lampbeat::signal::states
