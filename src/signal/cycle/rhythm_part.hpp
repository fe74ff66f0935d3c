#pragma once

#include <cstddef>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"

namespace lampbeat::signal {

/// One rhythm's part of a light over its phase, in cells.
struct RhythmPart {
  std::vector<double> phase;  ///< of every sample, 0 <= phase < 1
  std::vector<double> cell;   ///< the part's value at the cells' centres; mean 0
  std::vector<bool> edge;     ///< the cells in which it jumps

  std::size_t cell_of(std::size_t sample) const;
  bool in_edge(std::size_t sample) const { return edge[cell_of(sample)]; }
  /// Straight between the centres, but for edges.
  double at(std::size_t sample) const;
  /// Between the lowest and the highest cell.
  double swing() const;
};

/// A window's part of one rhythm, as far as the tones that repeat with it tell.
RhythmPart part_of(const Window& light, const Rhythm& rhythm, const std::vector<Tone>& members);

/// Gives cells that no sample fell into (weight 0) a value straight between their neighbours'.
void bridge(std::vector<double>& cell, const std::vector<double>& weight);

}  // namespace lampbeat::signal
