#include "signal/cycle/parts_index.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "signal/cycle/noise_lift.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Stretches whose disagreement is the uncertainty.
constexpr std::size_t stretches = 16;

/// Mean distance from the mean over every pair of cells.
double distance_over_phases(const TwoParts& light) {
  double sum = 0.0;
  for (const double b : light.part[1].cell) {
    const double slope = 1.0 + light.product * b;
    for (const double a : light.part[0].cell) sum += std::abs(a * slope + b);
  }
  return sum / static_cast<double>(light.part[0].cell.size() * light.part[1].cell.size());
}

}  // namespace

SampleIndex parts_index(const TwoParts& light, double noise_sd) {
  const std::size_t each = std::max<std::size_t>(1, light.value.size() / stretches);
  NoiseLift lift(noise_sd);
  std::vector<double> beside;  // of each stretch: how much farther its samples are than the parts
  for (std::size_t from = 0; from + each <= light.value.size(); from += each) {
    double sum = 0.0;
    for (std::size_t i = from; i < from + each; ++i) {
      const double off = light.value[i] - light.mean;
      lift.see(off);
      sum += std::abs(off) - std::abs(off - light.rest(i));
    }
    beside.push_back(sum / static_cast<double>(each));
  }
  const auto n = static_cast<double>(beside.size());
  double mean = 0.0;
  for (const double x : beside) mean += x / n;
  double squares = 0.0;
  for (const double x : beside) squares += (x - mean) * (x - mean);
  const double distance = distance_over_phases(light) + mean - lift.value();
  SampleIndex index;
  index.value = std::max(0.0, distance / (2.0 * light.mean));
  const double scatter = n > 1.0 ? std::sqrt(squares / (n - 1.0) / n) : 0.0;
  index.sd = std::hypot(scatter, lift.sd()) / (2.0 * light.mean);
  return index;
}

}  // namespace lampbeat::signal::cycle
