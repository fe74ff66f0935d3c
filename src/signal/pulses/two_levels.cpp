#include "signal/pulses/two_levels.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>

#include "arithmetic/lanes.hpp"
#include "signal/cycle/converter_step.hpp"

namespace lampbeat::signal::pulses {
namespace {

constexpr std::size_t fewest_samples = 24;
/// As of a light of few cycles: share of the swing within which a sample belongs to a level, and
/// share of the samples that may lie between. Of a sine 41 % do.
constexpr double near_level = 0.2;
constexpr double most_between = 0.1;
/// So many samples tell what no switched light does: few need be looked at.
constexpr std::size_t looked_at_once = 512;
/// A sample of a level lies beyond the middle once in a billion.
constexpr double swing_over_noise = 12.0;
/// The squares of a level's deviations and of its steps from sample to sample agree on the noise to
/// one part in the root of their number; five times as much is chance once in three million.
constexpr double flat_sds = 5.0;
/// From so many steps on; fewer tell a level's own noise too badly, and both levels' serves.
constexpr double fewest_steps = 30.0;
/// Of 200,000 samples of noise the farthest lies five standard deviations off.
constexpr double farthest_sds = 7.0;
/// A window's level lies farther from those before once in 2 million.
constexpr double held_sds = 5.0;
/// What calculations leave, of the swing.
constexpr double calculation = 1e-9;
/// A shape of fewer codes may look like two levels and be none.
constexpr double fewest_codes = 12.0;

/// Sums over the samples of one side of the middle, about a value near their mean.
struct Side {
  double about = 0.0;
  double n = 0.0, sum = 0.0, squares = 0.0;
  double steps = 0.0, step_squares = 0.0;  ///< from one to the next, both on this side
  double farthest = 0.0;

  double mean() const { return about + sum / n; }
  double variance() const { return std::max(0.0, squares / n - sum / n * (sum / n)); }
  double noise_variance() const { return steps > 0.0 ? step_squares / steps / 2.0 : 0.0; }
};

/// Whether most samples lie near either end of the range.
bool keeps_to_two(const Window& window, const arithmetic::Range& range) {
  const double swing = range.highest - range.lowest;
  const double from = range.lowest + near_level * swing;
  const double to = range.highest - near_level * swing;
  std::size_t between = 0;
  for (std::size_t i = 0; i < window.size(); i += looked_at_once) {
    const std::size_t end = std::min(window.size(), i + looked_at_once);
    for (std::size_t k = i; k < end; ++k) between += window.value[k] > from && window.value[k] < to;
    if (static_cast<double>(between) >
        most_between * static_cast<double>(std::max(end, looked_at_once))) {
      return false;
    }
  }
  return static_cast<double>(between) <= most_between * static_cast<double>(window.size());
}

std::array<Side, 2> sides_of(const Window& window, const arithmetic::Range& range) {
  const double middle = (range.lowest + range.highest) / 2.0;
  std::array<Side, 2> sides{Side{range.lowest}, Side{range.highest}};
  std::size_t before = 2;
  double was = 0.0;
  for (const double x : window.value) {
    const std::size_t at = x > middle ? 1 : 0;
    Side& side = sides[at];
    const double off = x - side.about;
    side.n += 1.0;
    side.sum += off;
    side.squares += off * off;
    if (at == before) {
      side.steps += 1.0;
      side.step_squares += (x - was) * (x - was);
    }
    before = at;
    was = x;
  }
  for (const double x : window.value) {
    Side& side = sides[x > middle ? 1 : 0];
    side.farthest = std::max(side.farthest, std::abs(x - side.mean()));
  }
  return sides;
}

double noise_of(const Side& side, const std::array<Side, 2>& both) {
  if (side.steps >= fewest_steps) return side.noise_variance();
  const double steps = both[0].steps + both[1].steps;
  return steps > 0.0 ? (both[0].step_squares + both[1].step_squares) / steps / 2.0 : 0.0;
}

/// Whether the samples scatter about their mean by no more than from one to the next.
bool is_flat(const Side& side, double noise, double least) {
  const double counted = std::max(1.0, std::min(side.steps, side.n));
  return side.variance() <= noise * (1.0 + flat_sds / std::sqrt(counted)) + least &&
         side.farthest * side.farthest <= farthest_sds * farthest_sds * noise + least;
}

}  // namespace

std::optional<TwoLevels> two_levels(const Window& window) {
  if (window.size() < fewest_samples) return std::nullopt;
  const arithmetic::Range range = arithmetic::range_of(window.value);
  const double swing = range.highest - range.lowest;
  if (!(swing > 0.0) || !std::isfinite(swing) || !keeps_to_two(window, range)) return std::nullopt;
  const std::array<Side, 2> sides = sides_of(window, range);
  TwoLevels levels;
  Level* const level[2] = {&levels.low, &levels.high};
  const double least = calculation * calculation * swing * swing;
  levels.flat = true;
  for (const std::size_t i : {0U, 1U}) {
    if (sides[i].n == 0.0) return std::nullopt;
    const double noise = noise_of(sides[i], sides);
    *level[i] = {sides[i].mean(), std::sqrt(sides[i].variance() / sides[i].n), std::sqrt(noise),
                 sides[i].n};
    levels.flat = levels.flat && is_flat(sides[i], noise, least);
  }
  const double noise = std::max(levels.low.noise_sd, levels.high.noise_sd);
  if (!(levels.swing() > swing_over_noise * noise)) return std::nullopt;
  levels.step = cycle::converter_step(window.value);
  levels.flat = levels.flat && levels.swing() > fewest_codes * levels.step;
  return levels;
}

bool HeldLevels::Mean::take(const Level& level, double least_sd) {
  const double sd = std::max(level.sd, least_sd);
  const double own = 1.0 / (sd * sd);
  const bool agrees = weight == 0.0 || std::abs(level.value - sum / weight) <=
                                           held_sds * std::sqrt(1.0 / own + 1.0 / weight);
  weight += own;
  sum += own * level.value;
  return agrees;
}

void HeldLevels::add(const TwoLevels* levels) {
  held_ = held_ && levels;
  if (!levels) return;
  const double least_sd = calculation * levels->swing();
  const bool high = high_.take(levels->high, least_sd);
  const bool low = low_.take(levels->low, least_sd);
  held_ = held_ && high && low;
}

void HeldLevels::join(const HeldLevels& other) { held_ = held_ && other.held_; }

}  // namespace lampbeat::signal::pulses
