#include "signal/states/window_values.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "arithmetic/median.hpp"

namespace lampbeat::signal::states {

namespace {

constexpr std::size_t most_values = 600;  ///< ten minutes of windows
/// The highest of 600 windows of noise lies farther out once in 6000 captures. Folding itself errs
/// by less than the share in nine of ten drawn lights of two rhythms (bench_two_rhythms).
constexpr double noise_explains = 5.0;
constexpr double share_explained = 0.03;
/// The median of three normal values or more scatters by √(π/2) of their mean's scatter; of one or
/// two it is the mean.
constexpr std::size_t fewest_of_a_median = 3;
/// Fewer windows say little of their scatter.
constexpr std::size_t fewest_of_a_scatter = 5;

double median_of(std::vector<double> values) { return arithmetic::median(values); }

/// Of normal values, by the median of their distances from the median.
double scatter_of(std::vector<double> values) {
  const double middle = median_of(values);
  for (double& value : values) value = std::abs(value - middle);
  return arithmetic::normal_sd * median_of(std::move(values));
}

}  // namespace

void WindowValues::add(double value, double sd, double bound) {
  highest_ = values_.empty() ? value : std::max(highest_, value);
  windows_ += 1.0;
  noise_variance_ += std::max(0.0, sd * sd - bound * bound);
  bound_ += bound;
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
  for (const double value : others.values_) add(value, 0.0, 0.0);
  highest_ = highest;
  windows_ += others.windows_ - static_cast<double>(others.values_.size());
  noise_variance_ += others.noise_variance_;
  bound_ += others.bound_;
}

double WindowValues::median() const { return median_of(values_); }

double WindowValues::median_sd() const {
  const double noise = std::sqrt(noise_variance_) / windows_;
  const std::size_t n = values_.size();
  const double scatter =
      n < fewest_of_a_scatter ? 0.0 : scatter_of(values_) / std::sqrt(static_cast<double>(n));
  const double less_exact = n < fewest_of_a_median ? 1.0 : std::sqrt(std::numbers::pi / 2.0);
  return less_exact * std::max(noise, scatter);
}

Uncertain WindowValues::figure() const {
  const double middle = median();
  const double bound = bound_ / windows_;
  const double one_sd = std::hypot(std::sqrt(noise_variance_ / windows_), bound);
  const double allowed = noise_explains * one_sd + share_explained * middle;
  if (highest_ > middle + allowed) return {highest_, one_sd};
  return {middle, std::hypot(median_sd(), bound)};
}

}  // namespace lampbeat::signal::states
