#pragma once

#include <cstddef>
#include <vector>

#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

/// A cycle's cells and what moves of them when the rhythm's clock does: slopes and edges. A slope
/// tells a shift by how its samples rise, an edge by which of them have crossed it, to the gap
/// between their phases.
struct PhaseCurve {
  std::vector<double> count;  ///< samples; 0 for a cell without, which says nothing
  std::vector<double> value;  ///< at the cell's centre
  std::vector<double> slope;  ///< sample units a turn; 0 where noise hides it
  std::vector<bool> edge;

  /// The slope along which a cell's samples lie; 0 in an edge, where they lie on either side.
  double slope_within(std::size_t cell) const { return edge[cell] ? 0.0 : slope[cell]; }
};

PhaseCurve phase_curve(const PhaseTable& table);

}  // namespace lampbeat::signal::cycle
