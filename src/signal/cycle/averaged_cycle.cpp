#include "signal/cycle/averaged_cycle.hpp"

#include <algorithm>

#include "arithmetic/median.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// A step over two cells by this share of the cycle's swing is an edge: a sine's steepest over two
/// of 128 cells is a twentieth of its swing.
constexpr double edge_share = 0.15;
/// The same for coarser cells, over their number: a sine's is 2π/n; a third more is no sine's.
constexpr double coarse_edge = 8.2;
/// And an edge is several times the usual step, which noise makes too.
constexpr double over_usual_step = 6.0;
/// Where this much of the cycle would be edge, the shape is merely coarse.
constexpr double most_edge = 0.4;

/// The averaged cycle less its mean; empty phases are bridged straight.
std::vector<double> averaged_cycle(const std::vector<double>& value, const Phases& phases,
                                   std::size_t cells) {
  const auto shift = static_cast<unsigned>(64 - std::countr_zero(cells));
  std::vector<double> sum(cells), count(cells);
  for (std::size_t i = 0; i < value.size(); ++i) {
    const auto c = static_cast<std::size_t>(phases.at(i) >> shift);
    sum[c] += value[i];
    count[c] += 1.0;
  }
  double mean = 0.0;
  for (const double s : sum) mean += s / static_cast<double>(value.size());
  std::vector<double> cycle(cells);
  for (std::size_t c = 0; c < cells; ++c) {
    std::size_t before = 0;
    std::size_t after = 0;
    while (before < cells && count[(c + cells - before) % cells] == 0.0) ++before;
    while (after < cells && count[(c + after) % cells] == 0.0) ++after;
    const std::size_t p = (c + cells - before) % cells;
    const std::size_t q = (c + after) % cells;
    if (count[p] == 0.0 || count[q] == 0.0) continue;
    const double share = before + after == 0
                             ? 0.0
                             : static_cast<double>(before) / static_cast<double>(before + after);
    cycle[c] = (1.0 - share) * sum[p] / count[p] + share * sum[q] / count[q] - mean;
  }
  return cycle;
}

std::vector<bool> edges_of(const std::vector<double>& cycle) {
  const std::size_t cells = cycle.size();
  const auto [low, high] = std::minmax_element(cycle.begin(), cycle.end());
  const double share = std::max(edge_share, coarse_edge / static_cast<double>(cells));
  std::vector<double> steps;
  for (std::size_t c = 0; c < cells; ++c) {
    steps.push_back(std::abs(cycle[(c + 1) % cells] - cycle[(c + cells - 1) % cells]));
  }
  const double least =
      std::max(share * (*high - *low), over_usual_step * arithmetic::upper_median(steps));
  std::vector<bool> edge(cells);
  for (std::size_t c = 0; c < cells; ++c) {
    if (std::abs(cycle[(c + 1) % cells] - cycle[(c + cells - 1) % cells]) <= least) continue;
    for (const std::size_t by : {cells - 1, cells, cells + 1}) edge[(c + by) % cells] = true;
  }
  const auto many = static_cast<double>(std::count(edge.begin(), edge.end(), true));
  if (many > most_edge * static_cast<double>(cells)) edge.assign(cells, false);
  return edge;
}

}  // namespace

void AveragedCycle::learn(std::vector<double>& rest) {
  const std::vector<double> more = averaged_cycle(rest, phases, value.size());
  for (std::size_t c = 0; c < value.size(); ++c) value[c] += more[c];
  edge = edges_of(value);
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= at(i, more);
}

}  // namespace lampbeat::signal::cycle
