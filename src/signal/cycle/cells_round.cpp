#include "signal/cycle/cells_round.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "arithmetic/median.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// A step over two cells by this share of the cycle's swing is an edge: a sine's steepest over two
/// of 128 cells is a twentieth of its swing.
constexpr double edge_share = 0.15;
/// The same for coarser cells, over their number: a sine's is 2π/n; a third more is no sine's.
constexpr double coarse_edge = 8.2;
/// And an edge is several times the usual step, which noise makes too: the median of the size of a
/// difference of Gaussians is 0.67 standard deviations, six of them 4, passed once in 20 000 cells.
constexpr double over_usual_step = 6.0;
/// Where this much of the cycle would be edge, the shape is merely coarse: three cells an edge, it
/// would have one every seven or eight.
constexpr double most_edge = 0.4;
/// Four of them, and none twice.
constexpr std::size_t fewest_of_a_cubic = 6;

}  // namespace

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

void bridge_smoothly(std::vector<double>& cell, const std::vector<double>& weight,
                     const std::vector<bool>& edge) {
  const std::size_t n = cell.size();
  std::vector<std::size_t> filled;
  for (std::size_t c = 0; c < n; ++c) {
    if (weight[c] > 0.0) filled.push_back(c);
  }
  const std::size_t m = filled.size();
  if (m >= n) return;
  bridge(cell, weight);
  if (m < fewest_of_a_cubic) return;
  for (std::size_t i = 0; i < m; ++i) {
    // Places counted from the second of the four, which the gap follows.
    const std::size_t at[4] = {filled[(i + m - 1) % m], filled[i], filled[(i + 1) % m],
                               filled[(i + 2) % m]};
    double place[4];
    for (std::size_t k = 0; k < 4; ++k) {
      const std::size_t ahead = k == 0 ? (at[1] + n - at[0]) % n : (at[k] + n - at[1]) % n;
      place[k] = k == 0 ? -static_cast<double>(ahead) : static_cast<double>(ahead);
    }
    const auto gap = static_cast<std::size_t>(place[2]);
    if (gap < 2 || edge[at[0]] || edge[at[1]] || edge[at[2]] || edge[at[3]]) continue;
    for (std::size_t by = 1; by < gap; ++by) {
      const auto x = static_cast<double>(by);
      double sum = 0.0;
      for (std::size_t k = 0; k < 4; ++k) {
        double share = cell[at[k]];
        for (std::size_t j = 0; j < 4; ++j) {
          const double apart = place[k] - place[j];
          if (apart != 0.0) share *= (x - place[j]) / apart;
        }
        sum += share;
      }
      cell[(at[1] + by) % n] = sum;
    }
  }
}

std::vector<bool> edges_of(const std::vector<double>& cell) {
  const std::size_t n = cell.size();
  const auto [low, high] = std::minmax_element(cell.begin(), cell.end());
  const double share = std::max(edge_share, coarse_edge / static_cast<double>(n));
  std::vector<double> steps;
  for (std::size_t k = 0; k < n; ++k) {
    steps.push_back(std::abs(cell[(k + 1) % n] - cell[(k + n - 1) % n]));
  }
  std::vector<double> ranked = steps;
  const double least =
      std::max(share * (*high - *low), over_usual_step * arithmetic::upper_median(ranked));
  std::vector<bool> edge(n);
  for (std::size_t k = 0; k < n; ++k) {
    if (steps[k] <= least) continue;
    for (const std::size_t by : {n - 1, n, n + 1}) edge[(k + by) % n] = true;
  }
  const auto many = static_cast<double>(std::count(edge.begin(), edge.end(), true));
  if (many > most_edge * static_cast<double>(n)) edge.assign(n, false);
  return edge;
}

}  // namespace lampbeat::signal::cycle
