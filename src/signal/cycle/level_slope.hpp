#pragma once

#include <cmath>

#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

/// Below a fiftieth of a percent over the window a change of the level is not worth touching the
/// samples; beyond a factor of three a straight line is no description of it.
inline bool worth_levelling(double change) {
  return std::abs(change) >= 2e-4 && std::abs(change) <= 1.0;
}

/// How the level of a table's stretches changes, each measured against what its own phases make of
/// the cycle; none where their scatter may explain it, where it is too small to matter or too large
/// for a straight line.
LevelSlope level_slope(const PhaseTable& table);

}  // namespace lampbeat::signal::cycle
