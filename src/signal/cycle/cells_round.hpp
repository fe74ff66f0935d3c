#pragma once

#include <vector>

namespace lampbeat::signal::cycle {

// A cycle as the values of its cells, the last one followed by the first.

/// Gives cells that no sample fell into (weight 0) a value straight between their neighbours'.
void bridge(std::vector<double>& cell, const std::vector<double>& weight);

/// Cells in which the cycle jumps, and their neighbours: an edge that falls on a border is in both.
/// None of a shape that would be edge for the most part.
std::vector<bool> edges_of(const std::vector<double>& cell);

}  // namespace lampbeat::signal::cycle
