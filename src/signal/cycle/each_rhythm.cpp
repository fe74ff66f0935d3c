#include "signal/cycle/each_rhythm.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;
constexpr std::size_t finest = 256;
constexpr std::size_t coarsest = 8;
constexpr double samples_a_cell = 32.0;
constexpr int rounds = 4;
/// In fewer of the slower rhythm's cycles each phase of one meets too few of the other's.
constexpr double fewest_cycles = 12.0;
/// Light that neither part nor their product holds shows in these patches of the two phases; so
/// much of the parts' swing (rms) is the tables' coarseness.
constexpr std::size_t patches = 16;
constexpr double most_unexplained = 0.005;
/// Where the other rhythm leaves less of this one, noise would be blown up.
constexpr double least_slope = 0.5;
constexpr double same_tone = 1e-6;
/// A cell holds an edge of its rhythm where it steps from neighbour to neighbour by this share of
/// the swing (a sine over two of 256 cells by a fortieth; `coarse_step`, over the cells, for few)
/// and its samples scatter this much beyond the median cell's; at most so many are left out.
constexpr double edge_step = 0.1;
constexpr double coarse_step = 8.2;
constexpr double edge_scatter = 2.0;
constexpr double most_left_out = 0.3;

double fraction(double turns) { return turns - std::floor(turns); }

/// One rhythm's part of the light over its phase, in cells.
struct Part {
  Rhythm rhythm;
  std::vector<double> phase;  ///< of every sample, 0 <= phase < 1
  std::vector<double> cell;   ///< the part's value at the cells' centres; mean 0
  std::vector<bool> edge;     ///< the cells in which it jumps

  std::size_t cell_of(std::size_t i) const {
    return std::min(cell.size() - 1,
                    static_cast<std::size_t>(phase[i] * static_cast<double>(cell.size())));
  }
  bool in_edge(std::size_t i) const { return edge[cell_of(i)]; }
  /// Straight between the centres, but for edges.
  double at(std::size_t i) const {
    const auto n = static_cast<double>(cell.size());
    const double place = phase[i] * n - 0.5;
    const double below = std::floor(place);
    const auto k = static_cast<std::size_t>(below + n) % cell.size();
    const std::size_t next = (k + 1) % cell.size();
    if (edge[k] || edge[next]) return cell[cell_of(i)];
    const double share = place - below;
    return (1.0 - share) * cell[k] + share * cell[next];
  }
};

bool multiple_of(const Tone& tone, const Rhythm& rhythm) {
  const double order = tone.hz / rhythm.hz;
  return order > 0.5 && arithmetic::off_whole(order) < same_tone * order;
}

/// Tones of further series; sums and differences of the two are their product.
ToneAnalysis further_rhythms(const ToneAnalysis& tones, const std::vector<Rhythm>& rhythms) {
  ToneAnalysis further;
  for (const ToneSeries& series : tones.series) {
    const bool one_of_two = std::any_of(rhythms.begin(), rhythms.end(), [&](const Rhythm& rhythm) {
      return multiple_of(series.tones.front(), rhythm);
    });
    if (series.kind != SeriesKind::sideband && !one_of_two) further.series.push_back(series);
  }
  return further;
}

/// Cells that no sample fell into lie straight between their neighbours.
void bridge(std::vector<double>& cell, const std::vector<double>& weight) {
  const std::size_t n = cell.size();
  const auto first = std::find_if(weight.begin(), weight.end(), [](double w) { return w > 0.0; });
  if (first == weight.end()) return;
  auto from = static_cast<std::size_t>(first - weight.begin());
  const std::size_t round = from + n;
  for (std::size_t to = from + 1; to <= round; ++to) {
    if (weight[to % n] <= 0.0) continue;
    for (std::size_t k = from + 1; k < to; ++k) {
      const double share = static_cast<double>(k - from) / static_cast<double>(to - from);
      cell[k % n] = (1.0 - share) * cell[from % n] + share * cell[to % n];
    }
    from = to;
  }
}

/// What the tones of a rhythm's own series say.
void begin_with_tones(Part& part, const ToneAnalysis& tones) {
  const auto n = static_cast<double>(part.cell.size());
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::sideband) continue;
    for (const Tone& tone : series.tones) {
      if (!multiple_of(tone, part.rhythm)) continue;
      for (std::size_t k = 0; k < part.cell.size(); ++k) {
        const double turns = (static_cast<double>(k) + 0.5) / n - part.rhythm.phase_rad / two_pi;
        const double t_s = turns / part.rhythm.hz;
        part.cell[k] += tone.amplitude * std::cos(two_pi * tone.hz * t_s + tone.phase_rad);
      }
    }
  }
}

Part part_of(const Window& light, const ToneAnalysis& tones, const Rhythm& rhythm) {
  const double room = static_cast<double>(light.size()) / samples_a_cell;
  const std::size_t cells =
      std::clamp(std::bit_floor(static_cast<std::size_t>(room)), coarsest, finest);
  Part part{rhythm, std::vector<double>(light.size()), std::vector<double>(cells),
            std::vector<bool>(cells)};
  const double start = rhythm.phase_rad / two_pi;
  for (std::size_t i = 0; i < light.size(); ++i) {
    part.phase[i] = fraction(rhythm.hz * light.time_at(i) + start);
  }
  begin_with_tones(part, tones);
  return part;
}

/// The light as the two parts and their product.
class TwoParts {
 public:
  TwoParts(std::vector<double> value, Part one, Part other)
      : value_(std::move(value)), part_{std::move(one), std::move(other)} {
    double sum = 0.0;
    for (const double x : value_) sum += x;
    mean_ = sum / static_cast<double>(value_.size());
    for (int round = 0; round < rounds; ++round) {
      find_product();
      for (const std::size_t which : {0U, 1U}) {
        improve(which);
        part_[which].edge = edges_of(which);
      }
    }
    find_product();
  }
  /// The samples without the other part, those in the other's edges left out.
  struct Alone {
    std::vector<double> value;
    std::vector<double> time_s;
  };
  Alone alone(std::size_t which, const Window& light) const {
    Alone samples;
    for (std::size_t i = 0; i < value_.size(); ++i) {
      if (part_[1 - which].in_edge(i)) continue;
      // What the table misses of this rhythm, its edges, the other one has multiplied.
      const double slope = std::max(least_slope, slope_at(which, i));
      samples.value.push_back(mean_ + part_[which].at(i) + rest(i) / slope);
      samples.time_s.push_back(light.time_at(i));
    }
    return samples;
  }
  /// Whether the light holds nothing else that both phases together decide.
  bool are_all() const {
    std::vector<double> sum(patches * patches), count(patches * patches);
    double squares = 0.0;
    double samples = 0.0;
    for (std::size_t i = 0; i < value_.size(); ++i) {
      if (part_[0].in_edge(i) || part_[1].in_edge(i)) continue;
      const auto patch = [&](const Part& part) {
        return std::min(patches - 1, static_cast<std::size_t>(part.phase[i] * patches));
      };
      const double r = rest(i);
      const std::size_t at = patch(part_[1]) * patches + patch(part_[0]);
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
    const double beyond = explained - noise * (freedom + 4.0 * std::sqrt(2.0 * freedom));
    const double allowed = most_unexplained * (swing(0) + swing(1));
    return beyond <= allowed * allowed * samples;
  }
  /// Extremes over every combination of the phases: at extremes of both parts, for the light is
  /// linear in each. Areas from the tables.
  CycleFigures together(const CycleFigures& one, const CycleFigures& other) const {
    CycleFigures both = one;
    both.mean = mean_;
    both.highest = 0.0;
    both.lowest = one.highest + other.highest;
    for (const double a : {one.lowest - one.mean, one.highest - one.mean}) {
      for (const double b : {other.lowest - other.mean, other.highest - other.mean}) {
        const double light = mean_ + a + b + product_ * a * b;
        both.highest = std::max(both.highest, light);
        both.lowest = std::min(both.lowest, light);
      }
    }
    both.percent_flicker = 100.0 * (both.highest - both.lowest) / (both.highest + both.lowest);
    both.percent_flicker_sd = std::hypot(one.percent_flicker_sd, other.percent_flicker_sd,
                                         taking_apart / 2.0 * both.percent_flicker);
    double area = 0.0;
    for (const double a : part_[0].cell) {
      for (const double b : part_[1].cell) area += std::abs(a + b + product_ * a * b);
    }
    const auto cells = static_cast<double>(part_[0].cell.size() * part_[1].cell.size());
    both.flicker_index = area / cells / (2.0 * mean_);
    both.flicker_index_sd = std::hypot(one.flicker_index_sd, other.flicker_index_sd,
                                       taking_apart / 2.0 * both.flicker_index);
    return both;
  }

 private:
  double swing(std::size_t which) const {
    const auto [low, high] =
        std::minmax_element(part_[which].cell.begin(), part_[which].cell.end());
    return *high - *low;
  }
  double rest(std::size_t i) const {
    const double a = part_[0].at(i);
    const double b = part_[1].at(i);
    return value_[i] - mean_ - a - b - product_ * a * b;
  }
  /// How the light follows one rhythm, given the other's phase.
  double slope_at(std::size_t which, std::size_t i) const {
    return 1.0 + product_ * part_[1 - which].at(i);
  }
  void find_product() {
    double together = 0.0;
    double squares = 0.0;
    for (std::size_t i = 0; i < value_.size(); ++i) {
      const double a = part_[0].at(i);
      const double b = part_[1].at(i);
      together += (value_[i] - mean_ - a - b) * a * b;
      squares += a * b * a * b;
    }
    // No light has more of it than a product has.
    product_ = squares > 0.0 ? std::clamp(together / squares, 0.0, 1.0 / mean_) : 0.0;
  }
  /// Adds to a part what its phase still explains of the rest.
  void improve(std::size_t which) {
    Part& part = part_[which];
    std::vector<double> sum(part.cell.size()), weight(part.cell.size());
    for (std::size_t i = 0; i < value_.size(); ++i) {
      if (part_[1 - which].in_edge(i)) continue;
      const double slope = slope_at(which, i);
      const std::size_t k = part.cell_of(i);
      sum[k] += slope * rest(i);
      weight[k] += slope * slope;
    }
    for (std::size_t k = 0; k < sum.size(); ++k) {
      if (weight[k] > 0.0) part.cell[k] += sum[k] / weight[k];
    }
    bridge(part.cell, weight);
    double middle = 0.0;
    for (std::size_t k = 0; k < sum.size(); ++k) {
      middle += part.cell[k] / static_cast<double>(sum.size());
    }
    for (double& x : part.cell) x -= middle;
    mean_ += middle;
  }
  std::vector<bool> edges_of(std::size_t which) const {
    const Part& part = part_[which];
    std::vector<double> squares(part.cell.size()), count(part.cell.size());
    for (std::size_t i = 0; i < value_.size(); ++i) {
      const double r = rest(i);
      squares[part.cell_of(i)] += r * r;
      count[part.cell_of(i)] += 1.0;
    }
    std::vector<double> scatter(squares.size());
    std::vector<double> ranked;
    for (std::size_t k = 0; k < squares.size(); ++k) {
      if (count[k] == 0.0) continue;
      scatter[k] = squares[k] / count[k];
      ranked.push_back(scatter[k]);
    }
    const auto usual = ranked.begin() + static_cast<std::ptrdiff_t>(ranked.size() / 2);
    std::nth_element(ranked.begin(), usual, ranked.end());
    const auto allowed =
        ranked.begin() +
        static_cast<std::ptrdiff_t>((1.0 - most_left_out) * static_cast<double>(ranked.size()));
    const double least = edge_scatter * edge_scatter * *usual;
    std::nth_element(ranked.begin(), allowed, ranked.end());
    const std::size_t n = part.cell.size();
    const double least_step =
        swing(which) * std::max(edge_step, coarse_step / static_cast<double>(n));
    std::vector<bool> edge(scatter.size());
    for (std::size_t k = 0; k < scatter.size(); ++k) {
      const double step = std::abs(part.cell[(k + 1) % n] - part.cell[(k + n - 1) % n]);
      edge[k] = scatter[k] > std::max(least, *allowed) && step > least_step;
    }
    return edge;
  }

  std::vector<double> value_;
  Part part_[2];
  double mean_ = 0.0;
  double product_ = 0.0;
};

}  // namespace

TwoRhythms take_apart(const Window& light, const ToneAnalysis& tones,
                      const std::vector<Rhythm>& rhythms) {
  TwoRhythms apart;
  if (rhythms.size() != 2) return apart;
  const double slower_hz = std::min(rhythms[0].hz, rhythms[1].hz);
  if (slower_hz * light.duration_s() < fewest_cycles) return apart;
  std::vector<double> value(light.value.begin(), light.value.end());
  const ToneAnalysis further = further_rhythms(tones, rhythms);
  if (!further.series.empty()) {
    for (std::size_t i = 0; i < value.size(); ++i) value[i] -= model_at(further, light.time_at(i));
  }
  const TwoParts parts(std::move(value), part_of(light, tones, rhythms[0]),
                       part_of(light, tones, rhythms[1]));
  for (const std::size_t which : {0U, 1U}) {
    const TwoParts::Alone samples = parts.alone(which, light);
    const Window window{samples.value, samples.time_s, light.interval_s};
    if (const auto figures = cycle_figures(window, {rhythms[which]})) {
      apart.alone.push_back({rhythms[which], *figures});
    }
  }
  if (apart.alone.size() == 2 && parts.are_all()) {
    apart.together = parts.together(apart.alone[0].figures, apart.alone[1].figures);
  }
  return apart;
}

}  // namespace lampbeat::signal
