#include "arithmetic/median.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <numbers>
#include <span>

namespace lampbeat::arithmetic {

namespace {

/// Brings those for which `first` holds to the front, and says how many there are. Without a branch
/// on any value: the processor could only guess, and would be wrong half the time.
template <typename First>
std::size_t partitioned(std::span<double> values, First first) {
  std::size_t front = 0;
  for (double& value : values) {
    const double here = value;
    value = values[front];
    values[front] = here;
    front += first(here);
  }
  return front;
}

double middle_of_three(double a, double b, double c) {
  return std::max(std::min(a, b), std::min(std::max(a, b), c));
}

}  // namespace

double nth_smallest(std::vector<double>& values, std::size_t rank) {
  constexpr std::size_t few = 32;
  std::span<double> part = values;  // in which the rank lies
  // Twice as often as halving needs; whatever pivots are so unlucky is left to the library.
  for (std::size_t rounds = 2 * std::bit_width(part.size()); part.size() > few && rounds > 0;
       --rounds) {
    const double pivot = middle_of_three(part.front(), part[part.size() / 2], part.back());
    const std::size_t below = partitioned(part, [&](double x) { return x < pivot; });
    if (rank < below) {
      part = part.first(below);
      continue;
    }
    const std::size_t equal =
        below > 0 ? 0 : partitioned(part, [&](double x) { return x <= pivot; });
    if (rank < below + equal) return pivot;
    part = part.subspan(below + equal);
    rank -= below + equal;
  }
  const auto at = part.begin() + static_cast<std::ptrdiff_t>(rank);
  std::nth_element(part.begin(), at, part.end());
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
