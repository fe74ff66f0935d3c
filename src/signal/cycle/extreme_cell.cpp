#include "signal/cycle/extreme_cell.hpp"

#include <cmath>
#include <optional>

#include "signal/cycle/surroundings.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Part of the range by which a step counts as a switching edge: twice the step of a sine over one
/// of 128 cells (a fortieth).
constexpr double switching_step = 0.05;
/// Standard deviations of a chi-squared sum that scatter must exceed to be an edge's, and of a
/// mean's noise by which a neighbour may be less extreme.
constexpr double edge_sds = 4.0;
constexpr double less_extreme_sds = 3.0;
/// A neighbour to give way to is looked for in the two nearest filled cells to either side.
constexpr std::size_t nearest = 2;

/// How extreme a cell is for certain.
double worth(const Fold& fold, unsigned half, double sign, std::size_t cell) {
  const CellSums& sums = fold.half[half][cell];
  return sign * sums.mean() - fold.noise_sd / std::sqrt(sums.count);
}

bool gives_way(const Fold& fold, unsigned half, double sign, std::size_t cell) {
  if (!holds_edge(fold, cell)) return false;
  const double noise = fold.noise_sd / std::sqrt(fold.half[half][cell].count);
  const double enough =
      worth(fold, half, sign, cell) - switching_step * fold.range - less_extreme_sds * noise;
  for (const bool along_first : {true, false}) {
    if (!along_first && fold.resolution.second == 1) continue;
    const Surroundings around(fold, cell, along_first, nearest);
    for (const auto* side : {&around.before(), &around.after()}) {
      for (const Neighbour& n : *side) {
        if (!holds_edge(fold, n.cell) && worth(fold, half, sign, n.cell) >= enough) return true;
      }
    }
  }
  return false;
}

}  // namespace

bool holds_edge(const Fold& fold, std::size_t cell) {
  const Fold::Scatter s = fold.scatter(cell);
  const double variance = fold.noise_sd * fold.noise_sd;
  const double edge = switching_step * fold.range;
  return s.sum_of_squares >
         variance * (s.freedom + edge_sds * std::sqrt(2.0 * s.freedom)) + edge * edge;
}

std::size_t extreme_cell(const Fold& fold, unsigned half, double sign) {
  struct Best {
    std::size_t cell;
    double worth;
  };
  std::optional<Best> best;
  std::optional<Best> best_of_all;  // where all give way to each other
  for (std::size_t cell = 0; cell < fold.resolution.cells(); ++cell) {
    if (!fold.usable(cell)) continue;
    const double value = worth(fold, half, sign, cell);
    if (!best_of_all || value > best_of_all->worth) best_of_all = Best{cell, value};
    if ((!best || value > best->worth) && !gives_way(fold, half, sign, cell)) {
      best = Best{cell, value};
    }
  }
  if (best) return best->cell;
  return best_of_all ? best_of_all->cell : 0;
}

}  // namespace lampbeat::signal::cycle
