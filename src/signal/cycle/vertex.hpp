#pragma once

#include <vector>

#include "signal/cycle/cell_polynomial.hpp"

namespace lampbeat::signal::cycle {

/// Where a polynomial is most extreme: at its vertex when that lies among the cells it was fitted
/// to, else within the extreme cell, whose neighbours were found less extreme.
Spot most_extreme(const Polynomial& p, double sign, const std::vector<Neighbour>& cells);

}  // namespace lampbeat::signal::cycle
