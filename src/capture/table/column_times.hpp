#pragma once

#include <optional>
#include <string>
#include <vector>

#include "capture/clock/stated_interval.hpp"
#include "capture/clock/time_unit.hpp"
#include "capture/table/column_choice.hpp"
#include "capture/table/headings.hpp"
#include "capture/table/sample.hpp"
#include "lampbeat/capture.hpp"

namespace lampbeat::capture::table {

/// How the times of a table are written.
struct ColumnTimes {
  clock::TimeUnit unit;
  double rounding = 0.0;                        ///< worth of the last printed digit, in `unit`
  std::optional<clock::StatedInterval> stated;  ///< what the table itself says of its interval
  Findings findings;
};

/// Reads them where there is a time column, beside what the table itself states. Throws UsageError
/// when there is neither, and no rate.
ColumnTimes column_times(const std::string& file, const ColumnChoice& columns,
                         const Headings& headings, const Sample& sample,
                         const std::optional<double>& rate_hz,
                         const std::vector<clock::StatedInterval>& stated);

}  // namespace lampbeat::capture::table
