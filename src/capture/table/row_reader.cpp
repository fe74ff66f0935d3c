#include "capture/table/row_reader.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <utility>

#include <fmt/format.h>

#include "capture/table/cell_number.hpp"
#include "capture/table/headings.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::capture::table {

RowReader::RowReader(files::ByteSource bytes, TableLayout layout)
    : layout_(std::move(layout)),
      time_at_(layout_.time_column.value_or(SIZE_MAX)),
      last_wanted_(std::max(layout_.value_column, layout_.time_column.value_or(0))),
      lines_(std::move(bytes), layout_.line_end, layout_.skip_bytes) {
  std::string_view line;
  while (lines_.line_number() + 1 < layout_.first_data_line && lines_.next(line)) {
  }
}

bool RowReader::next(Row& row, double kept_s) {
  kept_s_ = kept_s;
  std::string_view line;
  while (lines_.next(line)) {
    if (!read_plainly(line, row)) {
      const std::string_view text = trimmed(line);
      if (text.empty() || text.front() == '#') continue;
      const char separator = static_cast<char>(layout_.separator);
      if (text.find_first_not_of(separator) == std::string_view::npos) continue;
      read_carefully(line, row);
    }
    ++rows_;
    return true;
  }
  return false;
}

/// The quick way for rows without oddities; false sends the row the careful way.
bool RowReader::read_plainly(std::string_view line, Row& row) const {
  const char separator = static_cast<char>(layout_.separator);
  const char decimal = layout_.decimal;
  if (separator == decimal) return false;  // only quotes tell them apart
  const char* p = line.data();
  const char* const end = p + line.size();
  const auto skip_blanks = [&] {
    while (p != end && (*p == ' ' || (*p == '\t' && separator != '\t'))) ++p;
  };
  for (std::size_t column = 0;; ++column) {
    skip_blanks();
    if (column == time_at_) {
      const char* const begin = p;
      p = read_cell_number(p, end, decimal, row.time);
      if (!p) return false;
      row.time_text = {begin, static_cast<std::size_t>(p - begin)};
    } else if (column == layout_.value_column) {
      p = read_cell_number(p, end, decimal, row.value);
      if (!p) return false;
    } else if (p != end && *p == '"') {
      return false;
    } else {
      while (p != end && *p != separator && *p != '\t') ++p;
    }
    if (column == last_wanted_) break;
    const char* const stop = p;
    skip_blanks();
    if (separator == ' ' ? p == stop : p == end || *p++ != separator) return false;
  }
  skip_blanks();
  return p == end ||
         (layout_.columns > last_wanted_ + 1 && *p == separator &&
          static_cast<std::size_t>(std::count(p, end, separator)) < layout_.columns - last_wanted_);
}

void RowReader::read_carefully(std::string_view line, Row& row) {
  refuse_lost_power(line);
  split_cells(line, layout_.separator, cells_);
  while (cells_.size() > layout_.columns && cells_.back().empty()) cells_.pop_back();
  if (cells_.size() <= last_wanted_ && lines_.unterminated()) refuse_broken_off(line);
  if (layout_.time_column) {
    row.time = read_cell(*layout_.time_column);
    row.time_text = cells_[*layout_.time_column];
  }
  row.value = read_cell(layout_.value_column);
  if (cells_.size() > layout_.columns) refuse_run_together(line);
}

double RowReader::read_cell(std::size_t column) {
  const std::string_view cell = column < cells_.size() ? cells_[column] : std::string_view();
  auto number = parse_number(cell, layout_.decimal);
  if (!number && !layout_.decimal_seen && layout_.decimal == '.') {
    number = parse_number(cell, ',');
    if (number) layout_.decimal = ',';
  }
  if (number && std::isfinite(*number)) return *number;
  const std::string where = fmt::format("{}, {}", place(), column_words(layout_.names, column));
  if (cell.empty()) {
    throw InputError(
        fmt::format("{}: the cell is missing or empty;\nfill it in or delete the row{}", where,
                    or_keep_the_rows_before()));
  }
  throw InputError(fmt::format("{}: {} is not a {};\ncorrect or delete this row{}", where,
                               words::quoted(cell), number ? "finite number" : "number",
                               or_keep_the_rows_before()));
}

void RowReader::refuse_lost_power(std::string_view line) const {
  const std::size_t nul = line.find('\0');
  if (nul == std::string_view::npos) return;
  throw InputError(fmt::format(
      "{}: binary data begins at byte {} of the file; the recorder probably lost power.\n"
      "Delete everything from this line on{}",
      place(), lines_.line_offset() + nul, or_keep_the_rows_before()));
}

void RowReader::refuse_broken_off(std::string_view line) const {
  throw InputError(
      fmt::format("{}: the file breaks off in the middle of this row ({});\ncopy it again from the "
                  "recorder, or delete the row{}",
                  place(), words::quoted(line), or_keep_the_rows_before()));
}

void RowReader::refuse_run_together(std::string_view line) const {
  throw InputError(fmt::format(
      "{}: this row has {} cells where the others have {} ({});\nprobably two rows ran together. "
      "Correct or delete it",
      place(), cells_.size(), layout_.columns, words::quoted(line)));
}

std::string RowReader::place() const {
  return fmt::format("{}, line {}", lines_.source().name(), lines_.line_number());
}

/// A remedy that leaves the file alone; empty when too little comes before this line.
std::string RowReader::or_keep_the_rows_before() const {
  if (rows_ < 2 || kept_s_ <= 0.0) return "";
  return fmt::format(", or keep the rows before it with --for {:.9g}", kept_s_);
}

}  // namespace lampbeat::capture::table
