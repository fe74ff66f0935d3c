#include "signal/ripple_free.hpp"
#include "signal/median.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace lampbeat::signal {
namespace {

constexpr double fewest_cycles = 3.0;
constexpr std::size_t finest = 128;
constexpr double samples_a_cell = 8.0;
/// A step from cell to cell by this share of the cycle's swing is an edge: a sine's steepest step
/// over two of 128 cells is a tenth of its swing.
constexpr double edge_share = 0.15;
constexpr double coarse_edge = 8.2;  ///< the same for coarser cells: share times cells
/// And an edge is several times the usual step, which noise makes too.
constexpr double over_usual_step = 6.0;
/// Where this much of the cycle would be edge, the shape is merely coarse.
constexpr double most_edge = 0.4;
/// How often in a window the level that stands in for an edge is new.
constexpr double levels_in_window = 256.0;

/// One turn is 2⁶⁴, so that whole turns drop out by themselves.
std::uint64_t as_turn(double turns) {
  const double part = turns - std::floor(turns);
  return static_cast<std::uint64_t>(part * 0x1p63) << 1U;
}

/// Where in the cycle each sample lies.
class Phases {
 public:
  Phases(const Window& window, const Rhythm& rhythm)
      : window_(window),
        hz_(rhythm.hz),
        first_(as_turn(rhythm.phase_rad / (2.0 * std::numbers::pi))),
        step_(as_turn(rhythm.hz * window.interval_s)) {}
  std::uint64_t at(std::size_t i) const {
    if (window_.even()) return first_ + step_ * static_cast<std::uint64_t>(i);
    return first_ + as_turn(hz_ * window_.time_s[i]);
  }

 private:
  const Window& window_;
  double hz_;
  std::uint64_t first_;
  std::uint64_t step_;
};

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
  const double least = std::max(share * (*high - *low), over_usual_step * upper_median(steps));
  std::vector<bool> edge(cells);
  for (std::size_t c = 0; c < cells; ++c) {
    if (std::abs(cycle[(c + 1) % cells] - cycle[(c + cells - 1) % cells]) <= least) continue;
    for (const std::size_t by : {cells - 1, cells, cells + 1}) edge[(c + by) % cells] = true;
  }
  const auto many = static_cast<double>(std::count(edge.begin(), edge.end(), true));
  if (many > most_edge * static_cast<double>(cells)) edge.assign(cells, false);
  return edge;
}

void take_out(std::vector<double>& value, const Phases& phases, std::size_t cells) {
  const std::vector<double> cycle = averaged_cycle(value, phases, cells);
  const std::vector<bool> edge = edges_of(cycle);
  const auto shift = static_cast<unsigned>(64 - std::countr_zero(cells));
  const double unit = static_cast<double>(cells) * 0x1p-64;
  double level = 0.0;  // lately
  for (const double x : value) level += x / static_cast<double>(value.size());
  const double forget = std::min(0.5, levels_in_window / static_cast<double>(value.size()));
  for (std::size_t i = 0; i < value.size(); ++i) {
    const std::uint64_t turn = phases.at(i);
    const auto c = static_cast<std::size_t>(turn >> shift);
    if (!edge[c]) {
      // Straight between the middles of neighbouring cells.
      const double off = static_cast<double>(turn) * unit - static_cast<double>(c) - 0.5;
      const std::size_t next = off < 0.0 ? (c + cells - 1) % cells : (c + 1) % cells;
      const double bend = edge[next] ? 0.0 : std::abs(off);
      value[i] -= (1.0 - bend) * cycle[c] + bend * cycle[next];
      level += forget * (value[i] - level);
    } else {
      value[i] = level;
    }
  }
}

}  // namespace

std::vector<double> without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms) {
  std::vector<double> value(window.value.begin(), window.value.end());
  for (const Rhythm& rhythm : rhythms) {
    if (!(rhythm.hz * window.duration_s() >= fewest_cycles)) continue;
    const double enough = static_cast<double>(value.size()) / samples_a_cell;
    const auto cells =
        std::min(finest, std::bit_floor(static_cast<std::size_t>(std::max(enough, 2.0))));
    take_out(value, Phases(window, rhythm), cells);
  }
  return value;
}

}  // namespace lampbeat::signal
