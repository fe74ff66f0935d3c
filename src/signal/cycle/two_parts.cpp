#include "signal/cycle/two_parts.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Parts and product improve each other in turn, from tones that are right to a few percent.
constexpr int rounds = 4;
/// A cell holds an edge of its rhythm where it steps from neighbour to neighbour by this share of
/// the swing (a sine over two of 256 cells by a fortieth) and its samples scatter this many times
/// as much as the median cell's.
constexpr double edge_step = 0.1;
constexpr double edge_scatter = 2.0;
/// The same for few cells, over their number: a sine's steepest step over two of n cells is 2π/n of
/// its swing; a third more is no sine's.
constexpr double coarse_step = 8.2;
/// At most so many cells are left out: what is edge all over is merely coarse.
constexpr double most_left_out = 0.3;

void find_product(TwoParts& light) {
  double together = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    const double a = light.part[0].at(i);
    const double b = light.part[1].at(i);
    together += (light.value[i] - light.mean - a - b) * a * b;
    squares += a * b * a * b;
  }
  // No light has more of it than a product has.
  light.product = squares > 0.0 ? std::clamp(together / squares, 0.0, 1.0 / light.mean) : 0.0;
}

/// Adds to a part what its phase still explains of the rest.
void improve(TwoParts& light, std::size_t which) {
  RhythmPart& part = light.part[which];
  std::vector<double> sum(part.cell.size()), weight(part.cell.size());
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    if (light.part[1 - which].in_edge(i)) continue;
    const double slope = light.slope(which, i);
    const std::size_t k = part.cell_of(i);
    sum[k] += slope * light.rest(i);
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
  light.mean += middle;
}

/// Mean square of the rest in each of a part's cells; 0 in empty ones.
struct Scatter {
  std::vector<double> of_cell;
  std::vector<double> filled;  ///< of the cells that are not empty, in no order
};
Scatter scatter_of(const TwoParts& light, std::size_t which) {
  const RhythmPart& part = light.part[which];
  std::vector<double> squares(part.cell.size()), count(part.cell.size());
  for (std::size_t i = 0; i < light.value.size(); ++i) {
    const double r = light.rest(i);
    squares[part.cell_of(i)] += r * r;
    count[part.cell_of(i)] += 1.0;
  }
  Scatter scatter{std::vector<double>(squares.size()), {}};
  for (std::size_t k = 0; k < squares.size(); ++k) {
    if (count[k] == 0.0) continue;
    scatter.of_cell[k] = squares[k] / count[k];
    scatter.filled.push_back(scatter.of_cell[k]);
  }
  return scatter;
}

std::vector<bool> edges_of(const TwoParts& light, std::size_t which) {
  const RhythmPart& part = light.part[which];
  Scatter scatter = scatter_of(light, which);
  const auto ranked = [&](double share) {
    auto& all = scatter.filled;
    return arithmetic::nth_smallest(
        all, static_cast<std::size_t>(share * static_cast<double>(all.size())));
  };
  const double least_scatter =
      std::max(edge_scatter * edge_scatter * ranked(0.5), ranked(1.0 - most_left_out));
  const std::size_t n = part.cell.size();
  const double least_step =
      part.swing() * std::max(edge_step, coarse_step / static_cast<double>(n));
  std::vector<bool> edge(n);
  for (std::size_t k = 0; k < n; ++k) {
    const double step = std::abs(part.cell[(k + 1) % n] - part.cell[(k + n - 1) % n]);
    edge[k] = scatter.of_cell[k] > least_scatter && step > least_step;
  }
  return edge;
}

}  // namespace

TwoParts fit_two_parts(std::vector<double> value, RhythmPart one, RhythmPart other) {
  TwoParts light{std::move(value), {std::move(one), std::move(other)}};
  double sum = 0.0;
  for (const double x : light.value) sum += x;
  light.mean = sum / static_cast<double>(light.value.size());
  for (int round = 0; round < rounds; ++round) {
    find_product(light);
    for (const std::size_t which : {0U, 1U}) {
      improve(light, which);
      light.part[which].edge = edges_of(light, which);
    }
  }
  find_product(light);
  return light;
}

}  // namespace lampbeat::signal::cycle
