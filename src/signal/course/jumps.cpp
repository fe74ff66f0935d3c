#include "signal/course/jumps.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

#include "arithmetic/median.hpp"

namespace lampbeat::signal::course {
namespace {

/// Of the robust standard deviation of all differences; Gaussian noise goes so far once in 10¹⁵ of
/// them, with the scatter of the fewest known to a fifth still once in 10¹⁰.
constexpr double sds = 8.0;
/// Of the level, a quarter of a point of percent flicker and half a one: lamps warm up, so that
/// what takes `fast_s` and more must be the larger.
constexpr double least_fast = 0.005;
constexpr double least_slow = 0.01;
constexpr double fast_s = 0.1;
/// Fewer differences do not tell their own scatter.
constexpr std::size_t fewest_blocks = 32;
/// Over one block between: a step within a block shows whole.
constexpr std::size_t apart = 2;

std::optional<Jump> jump_between(const std::vector<double>& block, double interval_s,
                                 double first_s, double least) {
  std::vector<double> steps;
  for (std::size_t i = apart; i < block.size(); ++i) steps.push_back(block[i] - block[i - apart]);
  std::vector<double> sorted = steps;
  const double middle = arithmetic::upper_median(sorted);
  std::vector<double> off;
  for (const double step : steps) off.push_back(std::abs(step - middle));
  sorted = off;
  const double sd = arithmetic::normal_sd * arithmetic::upper_median(sorted);
  const auto farthest = std::max_element(off.begin(), off.end());
  if (*farthest <= std::max(sds * sd, least)) return std::nullopt;
  const auto place = static_cast<double>(farthest - off.begin());
  return Jump{*farthest, first_s + (place + 1.0) * interval_s};
}

}  // namespace

std::optional<Jump> largest_jump(const Course::Part& part, double level) {
  std::optional<Jump> largest;
  std::vector<double> block = part.value;
  double interval_s = part.interval_s;
  while (block.size() >= fewest_blocks) {
    const double least = (interval_s < fast_s ? least_fast : least_slow) * level;
    const auto jump = jump_between(block, interval_s, part.first_s, least);
    if (jump && (!largest || jump->size > largest->size)) largest = jump;
    for (std::size_t i = 0; 2 * i + 1 < block.size(); ++i) {
      block[i] = (block[2 * i] + block[2 * i + 1]) / 2.0;
    }
    block.resize(block.size() / 2);
    interval_s *= 2.0;
  }
  return largest;
}

}  // namespace lampbeat::signal::course
