#pragma once

#include <optional>
#include <string>

#include "capture/clock/time_unit.hpp"
#include "capture/table/column_choice.hpp"
#include "capture/table/headings.hpp"
#include "capture/table/sample.hpp"
#include "lampbeat/capture.hpp"

namespace lampbeat::capture::table {

/// How the times of a table are written.
struct ColumnTimes {
  clock::TimeUnit unit;
  double rounding = 0.0;  ///< worth of the last printed digit, in `unit`
  Findings findings;
};

/// Reads them where there is a time column. Throws UsageError when there is none and no rate
/// either.
ColumnTimes column_times(const std::string& file, const ColumnChoice& columns,
                         const Headings& headings, const Sample& sample,
                         const std::optional<double>& rate_hz);

}  // namespace lampbeat::capture::table
