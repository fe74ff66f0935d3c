#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "capture/table/headings.hpp"
#include "capture/table/reading.hpp"
#include "capture/table/sample.hpp"

namespace lampbeat::capture::table {

/// Which columns hold the capture, and what was decided about the others. Columns count from 0.
struct ColumnChoice {
  std::vector<std::size_t> numeric;  ///< all that hold numbers
  std::optional<std::size_t> time;   ///< empty: none is a time
  std::optional<std::size_t> row_number;
  std::vector<std::size_t> candidates;  ///< for the sensor's, those left out not among them
  std::vector<std::size_t> left_out;    ///< they only count rows
  std::size_t value = 0;
};

/// The user's word goes first, then the headings', then what the numbers themselves show.
/// `rate_given`: without a time column the table can be read too. `rate_stated`: the table itself
/// says so.
/// Throws InputError when there are times but no readings, UsageError when one column is wished for
/// both.
ColumnChoice choose_columns(const std::string& file, const Headings& headings,
                            const Reading& reading, const Sample& sample, bool rate_given,
                            bool rate_stated);

}  // namespace lampbeat::capture::table
