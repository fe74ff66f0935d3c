#pragma once

#include <vector>

#include "lampbeat/measurement.hpp"
#include "signal/states/state_figures.hpp"

namespace lampbeat::signal::measurement {

/// Adds the figures of one more window; a long list joins neighbours, so that an hour fits where
/// ten minutes did.
void append(std::vector<WindowFigures>& windows, const WindowFigures& figures);

/// How the figures moved: windows of states without trusted figures keep their level only.
TimeResolved over_time(const std::vector<WindowFigures>& windows,
                       const std::vector<states::JudgedState>& states);

}  // namespace lampbeat::signal::measurement
