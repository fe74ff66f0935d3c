#include "capture/table/table_layout.hpp"

#include <algorithm>
#include <cstdint>

#include <fmt/format.h>

#include "capture/table/cell_number.hpp"
#include "capture/table/column_choice.hpp"
#include "capture/table/column_times.hpp"
#include "capture/table/column_wish.hpp"
#include "capture/table/decimal_commas.hpp"
#include "capture/table/head.hpp"
#include "capture/table/headings.hpp"
#include "capture/table/no_table.hpp"
#include "capture/table/reading.hpp"
#include "capture/table/sample.hpp"
#include "capture/table/stated_clock.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::capture::table {
namespace {

void refuse_channel(const std::string& file, const CaptureOptions& options) {
  if (!options.channel || *options.channel == 1) return;
  throw UsageError(fmt::format(
      "{}: a text table has columns, not channels; choose one with --value instead of --channel",
      file));
}

/// Some scope tables write their settings beside the first readings: such rows are readings too.
std::size_t first_row_of(const Head& head, const Reading& reading, const ColumnChoice& columns) {
  const auto is_reading = [&](const Line& line) {
    if (line.skipped) return false;
    Cells cells;
    split_cells(line.text, reading.separator, cells);
    const auto holds = [&](std::size_t column) {
      return column < cells.size() && is_number(cells[column], reading.decimal);
    };
    return cells.size() == reading.columns && holds(columns.value) &&
           (!columns.time || holds(*columns.time));
  };
  std::size_t first = reading.first;
  while (first > 0 && is_reading(head.lines[first - 1])) --first;
  return first;
}

/// A column that is empty in all the rows seen, beside one that rises like a time: its readings may
/// begin further down.
bool readings_begin_later(const Reading& reading, const Sample& sample) {
  std::size_t numeric = 0;
  bool times = false;
  bool empty = false;
  for (std::size_t column = 0; column < sample.columns; ++column) {
    if (column_of_numbers(sample, column)) {
      ++numeric;
      const Course course = course_of(sample, column);
      times = course == Course::rises || course == Course::counts_rows;
    }
    empty = empty || std::all_of(sample.rows.begin(), sample.rows.end(),
                                 [&](const auto& row) { return row[column].empty(); });
  }
  return !reading.value_wish && numeric == 1 && times && empty;
}

std::string capitalised(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') {
    words[0] = static_cast<char>(words[0] - 'a' + 'A');
  }
  return words;
}

/// What to say of a value column that the user did not name.
void note_assumed_column(const ColumnChoice& columns, const std::vector<std::string>& names,
                         Findings& findings) {
  const std::string taken = column_words(names, columns.value);
  if (!columns.left_out.empty()) {
    findings.push_back(
        {"column_assumed",
         fmt::format("{} only counts rows and was left out; {} was taken for the sensor's. Choose "
                     "another with --value.",
                     capitalised(column_words(names, columns.left_out.front())), taken)});
  } else if (columns.candidates.size() > 1) {
    findings.push_back(
        {"column_assumed",
         fmt::format("{} columns could be the sensor's; {} was used. Choose another with --value.",
                     columns.candidates.size(), taken)});
  }
}

}  // namespace

TableLayout find_table_layout(files::ByteSource& source, const CaptureOptions& options) {
  const std::string& file = source.name();
  refuse_channel(file, options);
  const ColumnWishes wishes = column_wishes(options);

  Head head = look_at_head(source);
  Reading reading = best_reading(head, wishes);
  if (reading.rows == 0) refuse_unreadable(file, head, wishes);
  Sample sample = sample_rows(head, reading);
  if (readings_begin_later(reading, sample)) {
    head = look_at_head(source, SIZE_MAX);
    reading = best_reading(head, wishes);
    sample = sample_rows(head, reading);
  }
  if (one_column_of_decimal_commas(head, reading, sample)) {
    reading = as_one_column(head, reading);
    sample = sample_rows(head, reading);
  }
  refuse_binary_before(file, head, reading.first);
  refuse_ambiguous_commas(file, head, reading, sample);

  const Headings headings = find_headings(head, reading);
  const std::vector<clock::StatedInterval> stated = stated_intervals(head, reading);
  const ColumnChoice columns =
      choose_columns(file, headings, reading, sample, options.rate_hz.has_value(), !stated.empty());
  const ColumnTimes times = column_times(file, columns, headings, sample, options.rate_hz, stated);

  TableLayout layout;
  layout.line_end = head.line_end;
  layout.skip_bytes = head.skip_bytes;
  layout.separator = reading.separator;
  layout.decimal = reading.decimal;
  layout.decimal_seen = has_decimals(sample);
  layout.first_data_line = head.lines[first_row_of(head, reading, columns)].number;
  layout.columns = reading.columns;
  layout.first_row_columns = std::max(reading.columns, reading.widest);
  layout.names = headings.names;
  layout.time_column = columns.time;
  layout.value_column = columns.value;
  layout.unit = times.unit;
  layout.time_rounding = times.rounding;
  layout.stated = times.stated;
  layout.findings = times.findings;
  if (!reading.value_wish) note_assumed_column(columns, layout.names, layout.findings);
  return layout;
}

}  // namespace lampbeat::capture::table
