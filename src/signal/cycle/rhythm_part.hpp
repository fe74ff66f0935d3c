#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"

namespace lampbeat::signal::cycle {

/// One rhythm's part of a light over its phase, in cells. What is asked of every sample stands
/// here, to be inlined.
struct RhythmPart {
  std::vector<std::uint64_t> phase;  ///< of every sample, 2⁻⁶⁴ of a turn
  std::vector<double> cell;          ///< the part's value at the cells' centres; mean 0
  std::vector<bool> edge;            ///< the cells in which it jumps
  std::vector<double> sample_value;  ///< see `settle`
  std::vector<unsigned char> sample_in_edge;

  std::size_t cell_of(std::size_t sample) const { return cell_among(cell.size(), sample); }
  /// Of `cells` equal ones, a power of two, at least two.
  std::size_t cell_among(std::size_t cells, std::size_t sample) const {
    return phase[sample] >> (64 - std::countr_zero(cells));
  }
  bool in_edge(std::size_t sample) const { return sample_in_edge[sample] != 0; }
  /// Straight between the centres, but for edges.
  double at(std::size_t sample) const { return sample_value[sample]; }
  /// Works out what its cells and edges are at every sample; after every change of them.
  void settle();
  /// Between the lowest and the highest cell.
  double swing() const;
};

/// A window's part of one rhythm, as far as the tones that repeat with it tell.
RhythmPart part_of(const Window& light, const Rhythm& rhythm, const std::vector<Tone>& members);

}  // namespace lampbeat::signal::cycle
