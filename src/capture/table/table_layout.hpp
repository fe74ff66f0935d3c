#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "capture/clock/stated_interval.hpp"
#include "capture/clock/time_unit.hpp"
#include "capture/table/cells.hpp"
#include "files/byte_source.hpp"
#include "lampbeat/capture.hpp"

namespace lampbeat::capture::table {

/// How a text table is written, and which of its columns hold the capture.
struct TableLayout {
  char line_end = '\n';
  std::size_t skip_bytes = 0;  ///< byte order mark
  Separator separator = Separator::comma;
  char decimal = '.';
  bool decimal_seen = false;  ///< false: no number so far had any, so either mark may yet come
  std::uint64_t first_data_line = 1;
  std::size_t columns = 1;
  std::size_t first_row_columns = 1;       ///< more where settings stand behind the first reading
  std::vector<std::string> names;          ///< of the columns; empty without a heading line
  std::optional<std::size_t> time_column;  ///< from 0; empty: evenly sampled at a given rate
  std::size_t value_column = 0;
  clock::TimeUnit unit;
  double time_rounding = 0.0;  ///< worth of the last printed digit of a time, in `unit`
  std::optional<clock::StatedInterval> stated;  ///< the table's own word for its interval
  Findings findings;
};

/// Finds the layout from the first lines, looking no further ahead than 256 KiB.
/// Throws InputError when no table is found there, UsageError when the options do not fit it.
TableLayout find_table_layout(files::ByteSource& source, const CaptureOptions& options);

}  // namespace lampbeat::capture::table
