#pragma once

#include <cstddef>
#include <vector>

#include "signal/cycle/cell_curve.hpp"
#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

/// Cells in which the light jumps: their samples scatter by far more than the noise. None where so
/// many would that the cycle is smeared and not edged.
class TableEdges {
 public:
  TableEdges(const PhaseTable& table, const CellCurve& curve);

  /// As `CellCurve::at`.
  bool at(std::ptrdiff_t cell) const {
    const auto n = static_cast<std::ptrdiff_t>(edge_.size());
    return edge_[static_cast<std::size_t>((cell + 4 * n) % n)] != 0;
  }
  /// Whether cells [from, from + width) hold none.
  bool none_in(std::size_t from, std::size_t width) const {
    return running_[from + width] == running_[from];
  }
  /// Whether a box of this width finds a place without one anywhere.
  bool leave_room(std::size_t width) const;

 private:
  std::vector<unsigned char> edge_;
  std::vector<unsigned> running_;  ///< counted over two turns
};

}  // namespace lampbeat::signal::cycle
