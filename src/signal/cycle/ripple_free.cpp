#include "signal/cycle/ripple_free.hpp"
#include "arithmetic/median.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace lampbeat::signal {
namespace {

constexpr double fewest_cycles = 3.0;
constexpr std::size_t finest = 128;  ///< a pulse
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

/// One rhythm's averaged cycle over the samples' phases.
struct Cycle {
  Phases phases;
  std::vector<double> value;
  std::vector<bool> edge;

  Cycle(const Window& window, const Rhythm& rhythm, std::size_t cells)
      : phases(window, rhythm), value(cells) {}
  std::size_t cell_of(std::uint64_t turn) const {
    return static_cast<std::size_t>(turn >> (64 - std::countr_zero(value.size())));
  }
  bool in_edge(std::size_t i) const { return edge[cell_of(phases.at(i))]; }
  /// A cycle's shape at a sample, straight between the middles of neighbouring cells.
  double at(std::size_t i, const std::vector<double>& shape) const {
    const std::size_t cells = value.size();
    const std::uint64_t turn = phases.at(i);
    const std::size_t c = cell_of(turn);
    const double off = static_cast<double>(turn) * static_cast<double>(cells) * 0x1p-64 -
                       static_cast<double>(c) - 0.5;
    const std::size_t next = off < 0.0 ? (c + cells - 1) % cells : (c + 1) % cells;
    const double bend = edge[c] || edge[next] ? 0.0 : std::abs(off);
    return (1.0 - bend) * shape[c] + bend * shape[next];
  }
  /// Takes from `rest` what the cycle explains of it.
  void learn(std::vector<double>& rest) {
    const std::vector<double> more = averaged_cycle(rest, phases, value.size());
    for (std::size_t c = 0; c < value.size(); ++c) value[c] += more[c];
    edge = edges_of(value);
    for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= at(i, more);
  }
};

/// Takes out what two cycles times each other explain.
void take_out_product(std::vector<double>& rest, const Cycle& a, const Cycle& b) {
  std::vector<double> product(rest.size());
  double along = 0.0;
  double squares = 0.0;
  for (std::size_t i = 0; i < rest.size(); ++i) {
    product[i] = a.at(i, a.value) * b.at(i, b.value);
    along += rest[i] * product[i];
    squares += product[i] * product[i];
  }
  if (!(squares > 0.0)) return;
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= along / squares * product[i];
}

/// Samples in an edge of a rhythm carry the level of those before.
void level_edges(std::vector<double>& rest, const std::vector<Cycle>& cycles) {
  double level = 0.0;  // lately
  for (const double x : rest) level += x / static_cast<double>(rest.size());
  const double forget = std::min(0.5, levels_in_window / static_cast<double>(rest.size()));
  for (std::size_t i = 0; i < rest.size(); ++i) {
    if (std::any_of(cycles.begin(), cycles.end(), [&](const Cycle& c) { return c.in_edge(i); })) {
      rest[i] = level;
    } else {
      level += forget * (rest[i] - level);
    }
  }
}

/// The averaged cycles of the rhythms that have enough of them, taken out of `rest`.
std::vector<Cycle> take_out_cycles(std::vector<double>& rest, const Window& window,
                                   const std::vector<Rhythm>& rhythms) {
  const double enough = static_cast<double>(rest.size()) / samples_a_cell;
  std::vector<Cycle> cycles;
  for (const Rhythm& rhythm : rhythms) {
    if (rhythm.hz * window.duration_s() < fewest_cycles) continue;
    const double most = static_cast<double>(finest) * rhythm.pulses;
    const auto cells = std::bit_floor(static_cast<std::size_t>(std::clamp(enough, 2.0, most)));
    cycles.emplace_back(window, rhythm, cells);
  }
  // What one took from the other, a window of few common cycles, comes right in a second round.
  const int rounds = cycles.size() > 1 ? 2 : 1;
  for (int round = 0; round < rounds; ++round) {
    for (Cycle& cycle : cycles) cycle.learn(rest);
  }
  return cycles;
}

}  // namespace

std::vector<double> without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms) {
  std::vector<double> rest(window.value.begin(), window.value.end());
  const std::vector<Cycle> cycles = take_out_cycles(rest, window, rhythms);
  level_edges(rest, cycles);
  return rest;
}

LeftByMeeting without_rhythms_either_way(const Window& window, const std::vector<Rhythm>& rhythms) {
  LeftByMeeting left;
  left.sum.assign(window.value.begin(), window.value.end());
  const std::vector<Cycle> cycles = take_out_cycles(left.sum, window, rhythms);
  left.product = left.sum;
  if (cycles.size() == 2) take_out_product(left.product, cycles[0], cycles[1]);
  level_edges(left.sum, cycles);
  level_edges(left.product, cycles);
  return left;
}

}  // namespace lampbeat::signal
