#include "signal/cycle/averaged_cycle.hpp"

#include <algorithm>
#include <array>
#include <bit>

#include "arithmetic/phase.hpp"
#include "signal/cycle/cells_round.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// By how much a turn is shifted down to the number of its cell.
unsigned shift_of(std::size_t cells) { return static_cast<unsigned>(64 - std::countr_zero(cells)); }

struct Cell {
  double sum = 0.0;
  double count = 0.0;
};

/// Neighbours fall into the same cell: each of a few goes to a table of its own, so that no sum
/// waits for the one before.
std::vector<Cell> gathered(const std::vector<double>& value, const Phases& phases,
                           std::size_t cells) {
  constexpr std::size_t tables = 4;
  const unsigned shift = shift_of(cells);
  std::vector<std::array<Cell, tables>> table(cells);
  const auto add = [&](std::size_t i, std::size_t to) {
    Cell& cell = table[phases.at(i) >> shift][to];
    cell.sum += value[i];
    cell.count += 1.0;
  };
  std::size_t i = 0;
  for (; i + tables <= value.size(); i += tables) {
    for (std::size_t k = 0; k < tables; ++k) add(i + k, k);
  }
  for (; i < value.size(); ++i) add(i, 0);
  std::vector<Cell> all(cells);
  for (std::size_t c = 0; c < cells; ++c) {
    for (const Cell& part : table[c]) {
      all[c].sum += part.sum;
      all[c].count += part.count;
    }
  }
  return all;
}

}  // namespace

std::vector<double> averaged_cycle(const std::vector<double>& value, const Phases& phases,
                                   std::size_t cells) {
  const std::vector<Cell> all = gathered(value, phases, cells);
  double mean = 0.0;
  for (const Cell& cell : all) mean += cell.sum / static_cast<double>(value.size());
  std::vector<double> cycle(cells), count(cells);
  for (std::size_t c = 0; c < cells; ++c) {
    count[c] = all[c].count;
    if (count[c] > 0.0) cycle[c] = all[c].sum / count[c] - mean;
  }
  bridge(cycle, count);
  return cycle;
}

Phases::Phases(const Window& window, const Rhythm& rhythm)
    : time_s_(window.time_s),
      hz_(rhythm.hz),
      first_(arithmetic::begun_turn_in_whole(rhythm.phase_rad / arithmetic::turn)),
      step_(arithmetic::begun_turn_in_whole(rhythm.hz * window.interval_s)) {}

std::uint64_t Phases::later(std::size_t i) const {
  return first_ + arithmetic::begun_turn_in_whole(hz_ * time_s_[i]);
}

CycleShape::CycleShape(const std::vector<double>& cell, const std::vector<bool>& edge)
    : shift_(shift_of(cell.size()) - 1),
      rest_((std::uint64_t{1} << shift_) - 1),
      piece_(2 * cell.size()) {
  const std::size_t n = cell.size();
  const double to_middle = 0.5 / static_cast<double>(std::uint64_t{1} << shift_);
  for (std::size_t c = 0; c < n; ++c) {
    const std::size_t before = (c + n - 1) % n;
    const std::size_t after = (c + 1) % n;
    const double rise = edge[before] || edge[c] ? 0.0 : cell[c] - cell[before];
    const double fall = edge[c] || edge[after] ? 0.0 : cell[after] - cell[c];
    piece_[2 * c] = {cell[c] - 0.5 * rise, rise * to_middle};
    piece_[2 * c + 1] = {cell[c], fall * to_middle};
  }
}

void AveragedCycle::learn(std::vector<double>& rest) {
  const std::vector<double> more = averaged_cycle(rest, phases_, cell_.size());
  for (std::size_t c = 0; c < cell_.size(); ++c) cell_[c] += more[c];
  edge_ = edges_of(cell_);
  const CycleShape shape(more, edge_);
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= shape.at(phases_.at(i));
}

bool AveragedCycle::has_edges() const {
  return std::find(edge_.begin(), edge_.end(), true) != edge_.end();
}

void AveragedCycle::mark_edges(std::vector<unsigned char>& marked) const {
  const std::vector<unsigned char> edge(edge_.begin(), edge_.end());
  const unsigned shift = shift_of(edge.size());
  for (std::size_t i = 0; i < marked.size(); ++i) marked[i] |= edge[phases_.at(i) >> shift];
}

}  // namespace lampbeat::signal::cycle
