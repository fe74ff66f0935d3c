#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "capture/table/cells.hpp"
#include "capture/table/line_reader.hpp"
#include "capture/table/table_layout.hpp"

namespace lampbeat::capture::table {

/// What one row of a table says.
struct Row {
  double time = 0.0;           ///< in the column's own unit; 0 without a time column
  std::string_view time_text;  ///< as written, valid until the next row is read
  double value = 0.0;
};

/// The rows of a table, from its first line of numbers on.
class RowReader {
 public:
  RowReader(files::ByteSource bytes, TableLayout layout);

  /// The next row; false at the end. `kept_s` of the wanted part lie before it, which a complaint
  /// offers to keep. Throws InputError naming line and column for what is no row of numbers.
  bool next(Row& row, double kept_s);

  const TableLayout& layout() const { return layout_; }
  const files::ByteSource& source() const { return lines_.source(); }
  std::uint64_t line_number() const { return lines_.line_number(); }  ///< of the row last given

 private:
  bool read_plainly(std::string_view line, Row& row) const;
  void read_carefully(std::string_view line, Row& row);
  double read_cell(std::size_t column);
  void refuse_lost_power(std::string_view line) const;
  [[noreturn]] void refuse_broken_off(std::string_view line) const;
  [[noreturn]] void refuse_run_together(std::string_view line) const;
  std::string place() const;
  std::string or_keep_the_rows_before() const;

  TableLayout layout_;
  std::size_t time_at_;      ///< the time column, or no column of any table
  std::size_t last_wanted_;  ///< the last column that is read
  LineReader lines_;
  Cells cells_;
  std::uint64_t rows_ = 0;
  double kept_s_ = 0.0;
};

}  // namespace lampbeat::capture::table
