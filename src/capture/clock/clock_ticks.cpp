#include "capture/clock/clock_ticks.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"

namespace lampbeat::capture::clock {
namespace {

/// A step longer than so many usual ones has lost rows in it.
constexpr double lost_rows_from = 1.5;
/// A step is off by the printing of both its ends, and by the rounding of large numbers.
constexpr double printings_a_step = 1.5;
constexpr double double_rounding = 1e-14;
/// How nearly a step must be a whole number of grains, for each grain, and how many steps must.
constexpr double grain_play = 0.01;
constexpr double nearly_all = 0.95;
/// The grain is the shortest step, but for one in so many, which may be slips of the logger.
constexpr std::size_t shortest_of = 100;

/// Over several ticks, so that their rounding averages out; a median, so that gaps do not count.
double usual_interval(std::span<const Tick> ticks) {
  const std::size_t reach = std::clamp<std::size_t>(ticks.size() / 2, 1, 16);
  std::vector<double> slopes;
  slopes.reserve(ticks.size());
  for (std::size_t k = 0; k + reach < ticks.size(); ++k) {
    slopes.push_back((ticks[k + reach].written_s - ticks[k].written_s) /
                     static_cast<double>(ticks[k + reach].first - ticks[k].first));
  }
  return slopes.empty() ? 0.0 : arithmetic::quantile(slopes, 0.5);
}

std::vector<double> steps_between(std::span<const Tick> ticks) {
  std::vector<double> steps;
  steps.reserve(ticks.size());
  for (std::size_t k = 1; k < ticks.size(); ++k) {
    steps.push_back(ticks[k].written_s - ticks[k - 1].written_s);
  }
  return steps;
}

/// A clock finer than the interval shows by steps of two lengths, one of its grains apart.
double grain_of_two_lengths(const std::vector<double>& sorted_steps, double same_s,
                            double usual_s) {
  double below = 0.0;
  double above = 0.0;
  int clusters = 0;
  for (std::size_t i = 0; i < sorted_steps.size(); ++i) {
    if (sorted_steps[i] > lost_rows_from * usual_s) break;  // rows were lost there
    if (i > 0 && sorted_steps[i] - sorted_steps[i - 1] <= same_s) continue;
    if (++clusters == 1) below = sorted_steps[i];
    if (clusters == 2) above = sorted_steps[i];
  }
  return clusters == 2 ? above - below : 0.0;
}

/// Rows little more than a grain apart step by one grain and at an even pace by two; rows lost by
/// chance make the same steps, at random: a sixth of their distances lie so near their median.
double grain_of_even_skips(const std::vector<double>& steps, double shortest_s, double same_s) {
  constexpr std::size_t fewest = 6;
  constexpr double even = 0.25;
  constexpr double mostly = 0.7;
  std::vector<double> distances;
  std::size_t latest = 0;
  std::size_t skips = 0;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (std::abs(steps[i] - shortest_s) <= same_s) continue;
    const double grains = std::round(steps[i] / shortest_s);
    if (std::abs(steps[i] - grains * shortest_s) > 2.0 * same_s) return 0.0;
    if (grains != 2.0) continue;  // rows were lost there as well
    if (++skips > 1) distances.push_back(static_cast<double>(i - latest));
    latest = i;
  }
  if (skips < fewest) return 0.0;
  const double median = arithmetic::quantile(distances, 0.5);
  const double play = std::max(1.0, even * median);
  const auto near = std::count_if(distances.begin(), distances.end(),
                                  [&](double d) { return std::abs(d - median) <= play; });
  return static_cast<double>(near) >= mostly * static_cast<double>(distances.size()) ? shortest_s
                                                                                     : 0.0;
}

}  // namespace

void find_ticks(std::span<const RowTime> rows, std::vector<Tick>& ticks) {
  ticks.clear();
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (i > 0 && rows[i].written_s == rows[i - 1].written_s) {
      ticks.back().last = i;
    } else {
      ticks.push_back({rows[i].written_s, rows[i].printed_s / 2.0, i, i});
    }
  }
}

ClockHabit habit_of(std::span<const RowTime> rows, std::span<const Tick> ticks) {
  ClockHabit habit;
  habit.interval_s = usual_interval(ticks);
  for (const RowTime& row : rows) habit.printed_s = std::max(habit.printed_s, row.printed_s);
  habit.repeated = 1.0 - static_cast<double>(ticks.size()) / static_cast<double>(rows.size());
  std::vector<double> steps = steps_between(ticks);
  if (steps.empty()) return habit;
  const double same_s =
      printings_a_step * habit.printed_s + double_rounding * std::abs(rows.back().written_s);
  const auto [shortest, longest] = std::minmax_element(steps.begin(), steps.end());
  if (habit.repeated == 0.0 && *longest - *shortest <= same_s) {
    habit.step_s = arithmetic::upper_median(steps);  // one length: no grain shows
    return habit;
  }
  std::sort(steps.begin(), steps.end());
  habit.grain_s = habit.repeated > 0.0 ? steps[steps.size() / shortest_of]
                                       : grain_of_two_lengths(steps, same_s, habit.interval_s);
  if (!(habit.grain_s > 0.0)) {
    habit.grain_s = grain_of_even_skips(steps_between(ticks), steps.front(), same_s);
  }
  habit.step_s = steps[steps.size() / 2];
  if (!(habit.grain_s > 0.0)) return habit;
  const auto whole = std::count_if(steps.begin(), steps.end(), [&](double step) {
    const double grains = std::round(step / habit.grain_s);
    return std::abs(step - grains * habit.grain_s) <=
           same_s + grain_play * habit.grain_s * std::max(1.0, grains);
  });
  habit.counts_grains =
      static_cast<double>(whole) >= nearly_all * static_cast<double>(steps.size());
  return habit;
}

}  // namespace lampbeat::capture::clock
