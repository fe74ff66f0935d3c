#include "arithmetic/median.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace lampbeat::arithmetic {

double nth_smallest(std::vector<double>& values, std::size_t rank) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(rank);
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

double quantile(std::vector<double>& values, double share) {
  return nth_smallest(values,
                      static_cast<std::size_t>(share * static_cast<double>(values.size() - 1)));
}

double upper_median(std::vector<double>& values) { return nth_smallest(values, values.size() / 2); }

double median(std::vector<double>& values) {
  if (values.empty()) return std::numeric_limits<double>::quiet_NaN();
  const double upper = upper_median(values);
  if (values.size() % 2 != 0) return upper;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  return 0.5 * (upper + *std::max_element(values.begin(), middle));
}

double noise_from_steps(std::span<const double> readings) {
  constexpr double quartile_of_normal = 0.6745;
  std::vector<double> steps;
  for (std::size_t i = 1; i < readings.size(); ++i) {
    steps.push_back(std::abs(readings[i] - readings[i - 1]));
  }
  return upper_median(steps) / (quartile_of_normal * std::numbers::sqrt2);
}

}  // namespace lampbeat::arithmetic
