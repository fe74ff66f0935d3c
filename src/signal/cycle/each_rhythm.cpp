#include "signal/cycle/each_rhythm.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/median.hpp"
#include "signal/cycle/parts_index.hpp"
#include "signal/cycle/phase_table.hpp"
#include "signal/cycle/stretch_scatter.hpp"
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
/// By how much taking apart widens what is known of a rhythm's clock.
constexpr double clock_taken_apart = 2.0;

/// As a share of percent flicker: of two lamps side by side, or one that dims another smoothly,
/// over the samples in a cycle of the faster rhythm; and of a ripple that is chopped, where the
/// edges of the one multiply what the other one's table misses, over their square and by how deep
/// they cut (of 600 drawn chopped ripples 96 % lie within 2.5 of their ±, bench_coverage).
constexpr double left_of_smooth = 0.009;
constexpr double left_of_chopped = 1.5;

/// How deep a part's edges cut into the other part, 0 to 1.
double cut_by(const RhythmPart& part, const TwoParts& light) {
  if (std::find(part.edge.begin(), part.edge.end(), true) == part.edge.end()) return 0.0;
  return std::min(1.0, light.product * part.swing());
}

/// What taking two rhythms apart leaves of either.
double left_of_the_other(const TwoParts& light, double samples_a_cycle) {
  const double cut = std::max(cut_by(light.part[0], light), cut_by(light.part[1], light));
  return left_of_smooth / samples_a_cycle +
         left_of_chopped * cut * cut / (samples_a_cycle * samples_a_cycle);
}

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
    const double r = light.rest(i);
    const std::size_t at =
        light.part[1].cell_among(patches, i) * patches + light.part[0].cell_among(patches, i);
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

/// Of one sample: what most of the rest scatters by.
double noise_of(const TwoParts& light) {
  std::vector<double> rest;
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    if (!light.part[0].in_edge(i) && !light.part[1].in_edge(i)) {
      rest.push_back(std::abs(light.rest(i)));
    }
  }
  return rest.empty() ? 0.0 : arithmetic::normal_sd * arithmetic::upper_median(rest);
}

/// What is not known of two parts together.
struct LeftOut {
  double share = 0.0;       ///< see `left_of_the_other`
  double index = 0.0;       ///< see `index_off_by_gaps`
  double between_sd = 0.0;  ///< by which part a swing is, sample units: the tones, fitted together,
                            ///< tell how well a window parts them
};

double between_sd(const tones::RhythmChoice& choice) {
  double squares = 0.0;
  for (const std::vector<Tone>& members : choice.members) {
    const auto strongest =
        std::max_element(members.begin(), members.end(),
                         [](const Tone& a, const Tone& b) { return a.amplitude < b.amplitude; });
    if (strongest != members.end()) squares += strongest->amplitude_sd * strongest->amplitude_sd;
  }
  return std::sqrt(squares);
}

/// Of a flicker index, a share: a sine's distance from its mean, read in cells.
double index_off_by_cells(const TwoParts& light) {
  const std::size_t fewest = std::min(light.part[0].cell.size(), light.part[1].cell.size());
  return std::pow(std::numbers::pi / static_cast<double>(fewest), 2) / 3.0;
}

/// Of a flicker index: an edge lies anywhere between two neighbouring phases of the samples.
double index_off_by_gaps(const TwoParts& light, const tones::RhythmChoice& choice,
                         const Window& window) {
  double squares = 0.0;
  for (const std::size_t which : {0U, 1U}) {
    const RhythmPart& part = light.part[which];
    if (std::find(part.edge.begin(), part.edge.end(), true) == part.edge.end()) continue;
    const auto samples = static_cast<double>(window.size());
    const double gap = window.even()
                           ? widest_phase_gap(choice.rhythms[which].hz * window.interval_s, samples)
                           : 1.0 / samples;
    const double moved = part.swing() * gap / light.mean;
    squares += 2.0 * moved * moved;  // a rise and a fall
  }
  return anywhere_sd * std::sqrt(squares);
}

/// Extremes over every combination of the phases: at extremes of both parts, for the light is
/// linear in each. Areas from the samples.
CycleFigures together(const TwoParts& light, const CycleFigures& one, const CycleFigures& other,
                      const LeftOut& left) {
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
  both.percent_flicker_bound = std::hypot(one.percent_flicker_bound, other.percent_flicker_bound,
                                          left.share / 2.0 * both.percent_flicker);
  const double middle = (both.highest + both.lowest) / 2.0;
  both.percent_flicker_sd =
      std::hypot(std::hypot(one.percent_flicker_sd, other.percent_flicker_sd),
                 both.percent_flicker_bound, 100.0 * left.between_sd / middle);
  const SampleIndex index = parts_index(light, noise_of(light));
  both.flicker_index = index.value;
  both.flicker_index_bound = std::hypot(index.value * index_off_by_cells(light), left.index);
  both.flicker_index_sd = std::hypot(index.sd, both.flicker_index_bound,
                                     left.between_sd / std::numbers::pi / both.mean);
  return both;
}

}  // namespace

TwoRhythms take_apart(const Window& light, const tones::RhythmChoice& choice, std::size_t cells) {
  TwoRhythms apart;
  if (choice.rhythms.size() != 2) return apart;
  const double slower_hz = std::min(choice.rhythms[0].hz, choice.rhythms[1].hz);
  if (slower_hz * light.duration_s() < fewest_slow_cycles) return apart;
  const TwoParts parts = fit_two_parts(without(light, choice.others),
                                       part_of(light, choice.rhythms[0], choice.members[0]),
                                       part_of(light, choice.rhythms[1], choice.members[1]));
  const double faster_hz = std::max(choice.rhythms[0].hz, choice.rhythms[1].hz);
  const double left = left_of_the_other(parts, 1.0 / (faster_hz * light.interval_s));
  for (const std::size_t which : {0U, 1U}) {
    const Alone samples = alone(parts, which, light);
    const Window window{samples.value, samples.time_s, light.interval_s};
    if (auto folded = folded_rhythm(window, choice.rhythms[which], which == 0 ? cells : 0)) {
      // What taking apart left of the other rhythm, no noise of these samples tells.
      CycleFigures& figures = folded->figures;
      const double of_it = left * figures.percent_flicker;
      figures.percent_flicker_bound = std::hypot(figures.percent_flicker_bound, of_it);
      figures.percent_flicker_sd = std::hypot(figures.percent_flicker_sd, of_it);
      folded->hz_sd *= clock_taken_apart;
      folded->phase_sd_by_slopes *= clock_taken_apart;
      folded->phase_sd_by_edges *= clock_taken_apart;
      apart.alone.push_back({choice.rhythms[which], choice.fundamental[which], std::move(*folded)});
    }
  }
  if (apart.alone.size() == 2 && parts_are_all(parts)) {
    apart.together = together(parts, apart.alone[0].folded.figures, apart.alone[1].folded.figures,
                              {left, index_off_by_gaps(parts, choice, light), between_sd(choice)});
  }
  return apart;
}

}  // namespace lampbeat::signal::cycle
