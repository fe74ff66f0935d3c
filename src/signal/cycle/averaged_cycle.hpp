#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::cycle {

/// Where in the cycle each sample of a window lies. One turn is 2⁶⁴, so that whole turns drop out
/// by themselves.
class Phases {
 public:
  Phases(const Window& window, const Rhythm& rhythm);
  std::uint64_t at(std::size_t i) const {
    if (time_s_.empty()) return first_ + step_ * static_cast<std::uint64_t>(i);
    return later(i);
  }

 private:
  std::uint64_t later(std::size_t i) const;

  std::span<const double> time_s_;
  double hz_;
  std::uint64_t first_;
  std::uint64_t step_;
};

/// A shape over the cycle, straight between the middles of neighbouring cells; cells of an edge are
/// flat.
class CycleShape {
 public:
  /// `cell` a power of two of them, at least two.
  CycleShape(const std::vector<double>& cell, const std::vector<bool>& edge);
  double at(std::uint64_t turn) const {
    const Piece& piece = piece_[turn >> shift_];
    return piece.start + piece.slope * static_cast<double>(static_cast<std::int64_t>(turn & rest_));
  }

 private:
  /// From a cell's border to its middle, or on to the next border.
  struct Piece {
    double start = 0.0;
    double slope = 0.0;  ///< per unit of the turn
  };
  unsigned shift_;
  std::uint64_t rest_;
  std::vector<Piece> piece_;
};

/// The averages of what lies in each cell of the cycle, less the mean of all; empty phases are
/// bridged straight. `value` as many as the phases are of, `cells` a power of two.
std::vector<double> averaged_cycle(const std::vector<double>& value, const Phases& phases,
                                   std::size_t cells);

/// One rhythm's averaged cycle over the samples' phases.
class AveragedCycle {
 public:
  AveragedCycle(const Window& window, const Rhythm& rhythm, std::size_t cells)
      : phases_(window, rhythm), cell_(cells), edge_(cells) {}

  /// Takes from `rest` what the cycle explains of it.
  void learn(std::vector<double>& rest);
  bool has_edges() const;
  /// Marks the samples that lie in an edge.
  void mark_edges(std::vector<unsigned char>& marked) const;
  CycleShape shape() const { return {cell_, edge_}; }
  const Phases& phases() const { return phases_; }

 private:
  Phases phases_;
  std::vector<double> cell_;
  std::vector<bool> edge_;
};

}  // namespace lampbeat::signal::cycle
