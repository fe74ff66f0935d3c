#pragma once

#include "signal/cycle/extreme_boxes.hpp"
#include "signal/cycle/table_extreme.hpp"

namespace lampbeat::signal::cycle {

/// The mean light over a cycle and half the mean distance from it, divided by it: the area above
/// the mean over the total area. Phases count alike however many samples they got. Where the light
/// jumps within a cell, the samples' own distances count, so that an edge that moves (a dimmer's
/// unsteady clock) is not smeared into a slope.
struct TableIndex {
  double mean = 0.0;   ///< sample units
  TableReading index;  ///< value: the flicker index itself
};

/// `range`: between the cycle's extremes, sample units.
TableIndex table_index(const TableViews& views, double range);

}  // namespace lampbeat::signal::cycle
