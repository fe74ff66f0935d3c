#include "arithmetic/median.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lampbeat::signal {

double upper_median(std::vector<double>& values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double noise_from_steps(std::span<const double> readings) {
  constexpr double quartile_of_normal = 0.6745;
  std::vector<double> steps;
  for (std::size_t i = 1; i < readings.size(); ++i) {
    steps.push_back(std::abs(readings[i] - readings[i - 1]));
  }
  return upper_median(steps) / (quartile_of_normal * std::numbers::sqrt2);
}

}  // namespace lampbeat::signal
