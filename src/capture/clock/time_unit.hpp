#pragma once

#include <optional>
#include <string_view>

namespace lampbeat::capture::clock {

/// The unit of a time column.
struct TimeUnit {
  double per_second = 1.0;  ///< how many make a second; dividing by it rounds only once
  const char* name = "s";
};

/// What a column's heading says about time.
struct TimeHeading {
  bool names_time = false;       ///< "time", "t", "elapsed", or nothing but a unit of time
  std::optional<TimeUnit> unit;  ///< "time_ms", "t (us)", "Time [ns]", "micros()", "seconds"
};

/// Reads a heading, whatever its letter case; the words for time in a few languages that write
/// decimal commas are known too.
TimeHeading read_time_heading(std::string_view heading);

/// A cell of a units row such as "(ms)" or "Second"; empty for units of anything else.
std::optional<TimeUnit> read_time_unit(std::string_view cell);

/// Whether a cell holds nothing but a unit, of time or of what light sensors give.
bool is_unit(std::string_view cell);

/// Whether a heading names a running number of rows, which is neither a time nor a value.
bool names_row_number(std::string_view heading);

}  // namespace lampbeat::capture::clock
