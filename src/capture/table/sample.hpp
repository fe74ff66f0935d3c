#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "capture/table/head.hpp"
#include "capture/table/reading.hpp"

namespace lampbeat::capture::table {

/// The cells of the first rows of numbers, for judging columns.
struct Sample {
  std::vector<std::vector<std::string>> rows;
  std::size_t columns = 0;  ///< of every row
  char decimal = '.';

  /// A cell as a number, or `instead` where it is none.
  double number(std::size_t row, std::size_t column, double instead) const;
};

Sample sample_rows(const Head& head, const Reading& reading);

/// Gaps are judged later, row by row; a column filled in now and then is another's.
bool column_of_numbers(const Sample& sample, std::size_t column);

/// How a column goes on from row to row.
enum class Course { rises, mostly_rises, counts_rows, wanders };
Course course_of(const Sample& sample, std::size_t column);

/// Frame numbers and their like: whole numbers that never fall and mostly rise by one and the same
/// step. Light does not do that.
bool only_counts(const Sample& sample, std::size_t column);

/// Worth of the last digit printed, 0 where exponents hide it.
double printed_rounding(const Sample& sample, std::size_t column);

/// Whether any number has decimals.
bool has_decimals(const Sample& sample);

}  // namespace lampbeat::capture::table
