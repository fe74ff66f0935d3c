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

RowReader::RowReader(files::ByteSource bytes, TableLayout layout, bool leaves_out)
    : layout_(std::move(layout)),
      time_at_(layout_.time_column.value_or(SIZE_MAX)),
      last_wanted_(std::max(layout_.value_column, layout_.time_column.value_or(0))),
      lines_(std::move(bytes), layout_.line_end, layout_.skip_bytes),
      leaves_out_(leaves_out) {
  std::string_view line;
  while (lines_.line_number() + 1 < layout_.first_data_line && lines_.next(line)) {
  }
}

bool RowReader::next(Row& row, double kept_s) {
  kept_s_ = kept_s;
  std::string_view line;
  while (lines_.next(line)) {
    if (recording_ended_within(line)) return false;
    if (!read_plainly(line, row) && !take(line, row)) continue;
    if (blank_.after > 0) refuse_blank_between();
    row.line = lines_.line_number();
    row.left_out = left_out_.count();
    ++rows_;
    return true;
  }
  return false;
}

/// A live recording that was stopped may stop within a row.
bool RowReader::recording_ended_within(std::string_view line) const {
  return lines_.unterminated() && !line.empty() && lines_.source().stopped();
}

/// A row with oddities; false for what is none, or was left out.
bool RowReader::take(std::string_view line, Row& row) {
  const std::string_view text = trimmed(line);
  if (text.empty() || text.front() == '#') return false;
  const char separator = static_cast<char>(layout_.separator);
  if (text.find_first_not_of(separator) == std::string_view::npos) return false;
  if (blank_where_wanted(line)) {
    if (rows_ == 0) {
      ++blank_.before;
    } else {
      note_blank();
    }
    return false;
  }
  if (!leaves_out_) {
    read_carefully(line, row);
    return true;
  }
  try {
    read_carefully(line, row);
    return true;
  } catch (const InputError& error) {
    left_out_.add(lines_.line_number(), error.what());
    if (left_out_.prevail(rows_)) left_out_.refuse_too_many(lines_.source().name(), rows_);
    return false;
  }
}

/// Whether a whole row has nothing in a column that is read, and numbers or nothing in the others.
bool RowReader::blank_where_wanted(std::string_view line) {
  if (lines_.unterminated()) return false;
  split_cells(line, layout_.separator, cells_);
  if (cells_.size() <= last_wanted_) return false;
  const bool blank = cells_[layout_.value_column].empty() ||
                     (layout_.time_column && cells_[*layout_.time_column].empty());
  return blank && std::all_of(cells_.begin(), cells_.end(), [&](std::string_view cell) {
           return cell.empty() || is_number(cell, layout_.decimal);
         });
}

void RowReader::leave_out_after_all(std::uint64_t line) {
  left_out_.add(line, fmt::format("{}, line {}: its time lies outside those of the rows around it",
                                  lines_.source().name(), line));
  --rows_;
}

void RowReader::note_blank() {
  constexpr std::size_t lines_kept = 8;
  if (blank_.after++ == 0) {
    const bool no_value = cells_[layout_.value_column].empty();
    blank_place_ = cell_place(no_value ? layout_.value_column : *layout_.time_column);
    blank_lines_.clear();
  }
  if (blank_lines_.size() < lines_kept) blank_lines_.push_back(lines_.line_number());
}

/// Readings go on behind rows that looked like the end.
void RowReader::refuse_blank_between() {
  if (!leaves_out_) refuse_empty(blank_place_);
  for (std::size_t i = 0; i < blank_.after; ++i) {
    left_out_.add(i < blank_lines_.size() ? blank_lines_[i] : blank_lines_.back(),
                  blank_place_ + ": the cell is missing or empty");
  }
  blank_.after = 0;
}

void RowReader::refuse_empty(const std::string& where) const {
  throw InputError(fmt::format("{}: the cell is missing or empty;\n{}", where,
                               remedy("fill it in or delete the row")));
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
  const std::size_t columns = rows_ == 0 ? layout_.first_row_columns : layout_.columns;
  while (cells_.size() > columns && cells_.back().empty()) cells_.pop_back();
  if (cells_.size() <= last_wanted_ && lines_.unterminated()) refuse_broken_off(line);
  if (layout_.time_column) {
    row.time = read_cell(*layout_.time_column);
    row.time_text = cells_[*layout_.time_column];
  }
  row.value = read_cell(layout_.value_column);
  if (cells_.size() > columns) refuse_run_together(line);
}

double RowReader::read_cell(std::size_t column) {
  const std::string_view cell = column < cells_.size() ? cells_[column] : std::string_view();
  auto number = parse_number(cell, layout_.decimal);
  if (!number && !layout_.decimal_seen && layout_.decimal == '.') {
    number = parse_number(cell, ',');
    if (number) layout_.decimal = ',';
  }
  if (number && std::isfinite(*number)) return *number;
  const std::string where = cell_place(column);
  if (cell.empty()) refuse_empty(where);
  throw InputError(fmt::format("{}: {} is not a {};\n{}", where, words::quoted(cell),
                               number ? "finite number" : "number",
                               remedy("correct or delete this row")));
}

void RowReader::refuse_lost_power(std::string_view line) const {
  const std::size_t nul = line.find('\0');
  if (nul == std::string_view::npos) return;
  throw InputError(fmt::format(
      "{}: binary data begins at byte {} of the file; the recorder probably lost power.\n"
      "Delete all from here on{}, or --skip-bad-rows if it is one row",
      place(), lines_.line_offset() + nul,
      rows_before_are_worth_keeping()
          ? fmt::format(", keep the part before (--for {:.9g})", kept_s_)
          : ""));
}

void RowReader::refuse_broken_off(std::string_view line) const {
  throw InputError(
      fmt::format("{}: the file breaks off in the middle of this row ({});\ncopy it again from the "
                  "recorder, {}",
                  place(), words::quoted(line), remedy("delete the row")));
}

void RowReader::refuse_run_together(std::string_view line) const {
  throw InputError(fmt::format(
      "{}: this row has {} cells where the others have {} ({}); probably two rows ran together;\n"
      "{}",
      place(), cells_.size(), layout_.columns, words::quoted(line),
      remedy("correct or delete this row")));
}

std::string RowReader::place() const {
  return fmt::format("{}, line {}", lines_.source().name(), lines_.line_number());
}

std::string RowReader::cell_place(std::size_t column) const {
  return fmt::format("{}, {}", place(), column_words(layout_.names, column));
}

bool RowReader::rows_before_are_worth_keeping() const { return rows_ >= 2 && kept_s_ > 0.0; }

/// What to do about one row, the ways that leave the file alone among them.
std::string RowReader::remedy(std::string_view first) const {
  return fmt::format("{}{} or leave it out (--skip-bad-rows)", first,
                     rows_before_are_worth_keeping()
                         ? fmt::format(", keep those before it (--for {:.9g})", kept_s_)
                         : "");
}

}  // namespace lampbeat::capture::table
