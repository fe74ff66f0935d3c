#pragma once

#include <vector>

namespace lampbeat::signal::cycle {

// A cycle as the values of its cells, the last one followed by the first.

/// Gives cells that no sample fell into (weight 0) a value straight between their neighbours'.
void bridge(std::vector<double>& cell, const std::vector<double>& weight);

/// The same along a cubic through the two nearest on either side, where none of those is an edge:
/// sparse phases of a smooth cycle are then known between as well.
void bridge_smoothly(std::vector<double>& cell, const std::vector<double>& weight,
                     const std::vector<bool>& edge);

/// Cells in which the cycle jumps, and their neighbours: an edge that falls on a border is in both.
/// None of a shape that would be edge for the most part.
std::vector<bool> edges_of(const std::vector<double>& cell);

}  // namespace lampbeat::signal::cycle
