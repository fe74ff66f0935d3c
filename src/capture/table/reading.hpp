#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "capture/table/cells.hpp"
#include "capture/table/column_wish.hpp"
#include "capture/table/head.hpp"

namespace lampbeat::capture::table {

/// One way to read the first lines, by separator and decimal mark, and how far it gets.
struct Reading {
  Separator separator = Separator::comma;
  char decimal = '.';
  std::size_t first = 0;  ///< index of the first data line
  std::size_t columns = 0;
  std::size_t widest = 0;  ///< cells of the first data line, where it has more: settings beside it
  std::size_t rows = 0;    ///< lines of numbers from there on
  std::optional<std::size_t> time_wish;
  std::optional<std::size_t> value_wish;
};

/// The way that reads the most rows, and of those the one with the most columns; 0 rows where none
/// reads any.
Reading best_reading(const Head& head, const ColumnWishes& wishes);

/// Fills in where the rows of numbers begin and how many there are.
void follow(const Head& head, Reading& reading);

/// Whether a line's cells are all numbers, or the wished ones are.
bool row_of_numbers(const Cells& cells, const Reading& reading);

}  // namespace lampbeat::capture::table
