#include "signal/cycle/each_rhythm.hpp"

#include <algorithm>
#include <cmath>

#include "signal/cycle/two_parts.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// In fewer of the slower rhythm's cycles each phase of one meets too few of the other's.
constexpr double fewest_slow_cycles = 12.0;
/// Light that neither part nor their product holds shows in these patches of the two phases; so
/// much of the parts' swing (rms) is the tables' coarseness.
constexpr std::size_t patches = 16;
constexpr double most_unexplained = 0.005;
/// What the patches explain of noise alone: so many standard deviations of a chi-squared sum over
/// their number, exceeded once in 30 000 windows.
constexpr double surely_unexplained_sds = 4.0;
/// Where the other rhythm leaves less of this one, noise would be blown up to more than twice.
constexpr double least_slope = 0.5;

/// Takes tones of further rhythms out of a window's samples.
std::vector<double> without(const Window& light, const std::vector<Tone>& tones) {
  std::vector<double> value(light.value.begin(), light.value.end());
  if (tones.empty()) return value;
  ToneAnalysis further;
  further.series.emplace_back().tones = tones;
  for (std::size_t i = 0; i < value.size(); ++i) value[i] -= model_at(further, light.time_at(i));
  return value;
}

/// Samples that show one rhythm only.
struct Alone {
  std::vector<double> value;
  std::vector<double> time_s;
};

/// The light without the other part, samples in the other's edges left out.
Alone alone(const TwoParts& light, std::size_t which, const Window& window) {
  Alone samples;
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    if (light.part[1 - which].in_edge(i)) continue;
    // What the table misses of this rhythm, its edges, the other one has multiplied.
    const double slope = std::max(least_slope, light.slope(which, i));
    samples.value.push_back(light.mean + light.part[which].at(i) + light.rest(i) / slope);
    samples.time_s.push_back(window.time_at(i));
  }
  return samples;
}

/// Whether the light holds nothing else that both phases together decide.
bool parts_are_all(const TwoParts& light) {
  std::vector<double> sum(patches * patches), count(patches * patches);
  double squares = 0.0;
  double samples = 0.0;
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    if (light.part[0].in_edge(i) || light.part[1].in_edge(i)) continue;
    const auto patch = [&](const RhythmPart& part) {
      return std::min(patches - 1, static_cast<std::size_t>(part.phase[i] * patches));
    };
    const double r = light.rest(i);
    const std::size_t at = patch(light.part[1]) * patches + patch(light.part[0]);
    sum[at] += r;
    count[at] += 1.0;
    squares += r * r;
    samples += 1.0;
  }
  double explained = 0.0;
  double freedom = 0.0;
  for (std::size_t at = 0; at < sum.size(); ++at) {
    if (count[at] == 0.0) continue;
    explained += sum[at] * sum[at] / count[at];
    freedom += 1.0;
  }
  if (!(samples > 2.0 * freedom)) return false;
  const double noise = (squares - explained) / (samples - freedom);
  const double beyond =
      explained - noise * (freedom + surely_unexplained_sds * std::sqrt(2.0 * freedom));
  const double allowed = most_unexplained * (light.part[0].swing() + light.part[1].swing());
  return beyond <= allowed * allowed * samples;
}

/// Extremes over every combination of the phases: at extremes of both parts, for the light is
/// linear in each. Areas from the tables.
CycleFigures together(const TwoParts& light, const CycleFigures& one, const CycleFigures& other) {
  CycleFigures both = one;
  both.mean = light.mean;
  both.highest = 0.0;
  both.lowest = one.highest + other.highest;
  for (const double a : {one.lowest - one.mean, one.highest - one.mean}) {
    for (const double b : {other.lowest - other.mean, other.highest - other.mean}) {
      const double here = light.mean + a + b + light.product * a * b;
      both.highest = std::max(both.highest, here);
      both.lowest = std::min(both.lowest, here);
    }
  }
  both.percent_flicker = 100.0 * (both.highest - both.lowest) / (both.highest + both.lowest);
  both.percent_flicker_sd = std::hypot(one.percent_flicker_sd, other.percent_flicker_sd,
                                       taking_apart / 2.0 * both.percent_flicker);
  double area = 0.0;
  for (const double a : light.part[0].cell) {
    for (const double b : light.part[1].cell) area += std::abs(a + b + light.product * a * b);
  }
  const auto cells = static_cast<double>(light.part[0].cell.size() * light.part[1].cell.size());
  both.flicker_index = area / cells / (2.0 * light.mean);
  both.flicker_index_sd = std::hypot(one.flicker_index_sd, other.flicker_index_sd,
                                     taking_apart / 2.0 * both.flicker_index);
  return both;
}

}  // namespace

TwoRhythms take_apart(const Window& light, const tones::RhythmChoice& choice) {
  TwoRhythms apart;
  if (choice.rhythms.size() != 2) return apart;
  const double slower_hz = std::min(choice.rhythms[0].hz, choice.rhythms[1].hz);
  if (slower_hz * light.duration_s() < fewest_slow_cycles) return apart;
  const TwoParts parts = fit_two_parts(without(light, choice.others),
                                       part_of(light, choice.rhythms[0], choice.members[0]),
                                       part_of(light, choice.rhythms[1], choice.members[1]));
  for (const std::size_t which : {0U, 1U}) {
    const Alone samples = alone(parts, which, light);
    const Window window{samples.value, samples.time_s, light.interval_s};
    if (const auto figures = cycle_figures(window, {choice.rhythms[which]})) {
      apart.alone.push_back({choice.rhythms[which], choice.fundamental[which], *figures});
    }
  }
  if (apart.alone.size() == 2 && parts_are_all(parts)) {
    apart.together = together(parts, apart.alone[0].figures, apart.alone[1].figures);
  }
  return apart;
}

}  // namespace lampbeat::signal::cycle
