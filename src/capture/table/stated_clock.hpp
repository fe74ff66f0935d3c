#pragma once

#include <cstddef>
#include <string_view>
#include <vector>

#include "capture/clock/stated_interval.hpp"
#include "capture/table/head.hpp"
#include "capture/table/reading.hpp"

namespace lampbeat::capture::table {

/// What a table says of the time between its samples, in the order said: a `Sample Interval` or
/// `Sampling rate` above the columns, beside the first readings, or in a column of its own
/// (`Increment`). Each differs from those before it by more than rounding.
std::vector<clock::StatedInterval> stated_intervals(const Head& head, const Reading& reading);

/// Whether a line above the columns does so.
bool states_interval(std::string_view line, const Reading& reading);

}  // namespace lampbeat::capture::table
