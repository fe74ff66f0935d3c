#pragma once

#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

/// How the level of a table's stretches changes, each measured against what its own phases make of
/// the cycle; none where their scatter may explain it, where it is too small to matter or too large
/// for a straight line.
LevelSlope level_slope(const PhaseTable& table);

}  // namespace lampbeat::signal::cycle
