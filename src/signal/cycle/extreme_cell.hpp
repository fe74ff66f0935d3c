#pragma once

#include <cstddef>

#include "signal/cycle/fold.hpp"

namespace lampbeat::signal::cycle {

/// A cell whose samples scatter far beyond the noise holds a switching edge.
bool holds_edge(const Fold& fold, std::size_t cell);

/// The extreme cell of one half, of those that both have samples in. Cells with few samples must be
/// extreme by more, and a cell with an edge gives way to a neighbour that is all but as extreme:
/// which side of the edge its samples fell on differs between the halves.
std::size_t extreme_cell(const Fold& fold, unsigned half, double sign);

}  // namespace lampbeat::signal::cycle
