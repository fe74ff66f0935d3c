#pragma once

#include <bit>
#include <cmath>
#include <cstdint>
#include <vector>

#include "arithmetic/phase.hpp"
#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::cycle {

/// One turn is 2⁶⁴, so that whole turns drop out by themselves.
inline std::uint64_t as_turn(double turns) {
  return static_cast<std::uint64_t>(arithmetic::begun_turn(turns) * 0x1p63) << 1U;
}

/// Where in the cycle each sample lies.
class Phases {
 public:
  Phases(const Window& window, const Rhythm& rhythm)
      : window_(window),
        hz_(rhythm.hz),
        first_(as_turn(rhythm.phase_rad / (arithmetic::turn))),
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

/// One rhythm's averaged cycle over the samples' phases.
struct AveragedCycle {
  Phases phases;
  std::vector<double> value;
  std::vector<bool> edge;

  AveragedCycle(const Window& window, const Rhythm& rhythm, std::size_t cells)
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
  void learn(std::vector<double>& rest);
};

}  // namespace lampbeat::signal::cycle
