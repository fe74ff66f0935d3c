#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "capture/table/bad_rows.hpp"
#include "capture/table/cells.hpp"
#include "capture/table/line_reader.hpp"
#include "capture/table/table_layout.hpp"

namespace lampbeat::capture::table {

/// What one row of a table says.
struct Row {
  double time = 0.0;           ///< in the column's own unit; 0 without a time column
  std::string_view time_text;  ///< as written, valid until the next row is read
  double value = 0.0;
  std::uint64_t line = 0;      ///< of the file
  std::uint64_t left_out = 0;  ///< rows that could not be read, from the first on
};

/// The rows of a table, from its first line of numbers on.
class RowReader {
 public:
  /// `leaves_out`: rows that cannot be read are counted, not refused.
  RowReader(files::ByteSource bytes, TableLayout layout, bool leaves_out);

  /// The next row; false at the end. `kept_s` of the wanted part lie before it, which a complaint
  /// offers to keep. Throws InputError naming line and column for what is no row of numbers, but
  /// for blank cells before the first reading and after the last.
  bool next(Row& row, double kept_s);

  /// A row given before cannot be right either.
  void leave_out_after_all(std::uint64_t line);

  const TableLayout& layout() const { return layout_; }
  const files::ByteSource& source() const { return lines_.source(); }
  std::uint64_t rows_read() const { return rows_; }
  const BadRows& left_out() const { return left_out_; }
  const BlankRows& blank_rows() const { return blank_; }

 private:
  bool read_plainly(std::string_view line, Row& row) const;
  void read_carefully(std::string_view line, Row& row);
  double read_cell(std::size_t column);
  bool take(std::string_view line, Row& row);
  bool recording_ended_within(std::string_view line) const;
  bool blank_where_wanted(std::string_view line);
  void note_blank();
  void refuse_blank_between();
  [[noreturn]] void refuse_empty(const std::string& where) const;
  void refuse_lost_power(std::string_view line) const;
  [[noreturn]] void refuse_broken_off(std::string_view line) const;
  [[noreturn]] void refuse_run_together(std::string_view line) const;
  std::string place() const;
  std::string cell_place(std::size_t column) const;
  bool rows_before_are_worth_keeping() const;
  std::string remedy(std::string_view first) const;

  TableLayout layout_;
  std::size_t time_at_;      ///< the time column, or no column of any table
  std::size_t last_wanted_;  ///< the last column that is read
  LineReader lines_;
  Cells cells_;
  bool leaves_out_;
  BadRows left_out_;
  BlankRows blank_;
  std::string blank_place_;                 ///< of the first blank row since the last reading
  std::vector<std::uint64_t> blank_lines_;  ///< the first of those rows
  std::uint64_t rows_ = 0;
  double kept_s_ = 0.0;
};

}  // namespace lampbeat::capture::table
