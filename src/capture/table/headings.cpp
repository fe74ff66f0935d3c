#include "capture/table/headings.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "capture/table/cell_number.hpp"
#include "capture/table/heading_cells.hpp"
#include "capture/table/stated_clock.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::capture::table {
namespace {

/// Whether a line has numbers wherever the first row has them: then it is a row too, not headings.
bool numbers_like(const Cells& first_row, const Cells& cells, char decimal) {
  for (std::size_t i = 0; i < first_row.size(); ++i) {
    if (!is_number(first_row[i], decimal)) continue;
    if (i >= cells.size() || !is_number(cells[i], decimal)) return false;
  }
  return true;
}

/// A line of one name above several columns heads none of them, unless it is a time's; one of none
/// is blank.
bool is_title(const Cells& cells, const Reading& reading) {
  if (reading.columns < 2 || cells.size() < 2) return false;
  const auto filled = std::count_if(cells.begin(), cells.end(),
                                    [](std::string_view cell) { return !cell.empty(); });
  return filled <= 1 && !clock::read_time_heading(cells.front()).names_time;
}

/// "Record Length,2500" and "Vertical Units,V" are settings; "x-axis,1,2" heads channels.
bool is_setting(const Cells& cells, char decimal) {
  constexpr double most_channels = 100.0;
  if (cells.size() < 2 || is_number(cells.front(), decimal)) return false;
  constexpr std::string_view units = "Units";
  if (cells.front().ends_with(units) && clock::is_unit(cells[1])) return true;
  return std::all_of(cells.begin() + 1, cells.end(), [&](std::string_view cell) {
    const auto number = parse_number(cell, decimal);
    return number && (*number >= most_channels || *number != std::round(*number) ||
                      cell.find(decimal) != std::string_view::npos);
  });
}

/// The cells of up to two heading lines before the numbers, the nearest first.
std::vector<Cells> heading_lines(const Head& head, const Reading& reading) {
  Cells first_row;
  split_cells(head.lines[reading.first].text, reading.separator, first_row);
  std::vector<Cells> above;
  for (std::size_t i = reading.first; i-- > 0 && above.size() < 2;) {
    if (head.lines[i].text.empty()) continue;
    Cells cells = heading_cells(head.lines[i].text, reading.separator);
    if (is_title(cells, reading) || is_setting(cells, reading.decimal) ||
        states_interval(head.lines[i].text, reading))
      continue;
    const std::size_t most = std::max(reading.columns, reading.widest) + 1;
    const bool fits = cells.size() <= most && 2 * cells.size() > reading.columns;
    if (fits && !numbers_like(first_row, cells, reading.decimal)) {
      above.push_back(std::move(cells));
    } else if (!head.lines[i].skipped) {
      break;
    }
  }
  return above;
}

bool all_units(const Cells& cells) {
  return std::all_of(cells.begin(), cells.end(),
                     [](std::string_view cell) { return cell.empty() || clock::is_unit(cell); });
}

}  // namespace

std::string_view Headings::name(std::size_t column) const {
  return column < names.size() ? std::string_view(names[column]) : std::string_view();
}

std::optional<clock::TimeUnit> Headings::unit_in_row(std::size_t column) const {
  return column < units.size() ? units[column] : std::nullopt;
}

Headings find_headings(const Head& head, const Reading& reading) {
  Headings headings;
  const std::vector<Cells> above = heading_lines(head, reading);
  if (above.empty()) return headings;
  const bool units_row = above.size() == 2 && all_units(above[0]);
  if (units_row) {
    for (const std::string_view cell : above[0])
      headings.units.push_back(clock::read_time_unit(cell));
  }
  for (const std::string_view cell : above[units_row ? 1 : 0]) headings.names.emplace_back(cell);
  headings.names.resize(std::max(headings.names.size(), reading.columns));
  headings.units.resize(headings.names.size());
  return headings;
}

std::string column_words(const std::vector<std::string>& names, std::size_t column) {
  if (column < names.size() && !names[column].empty()) {
    return fmt::format("column {} ({})", column + 1, words::quoted(names[column]));
  }
  return fmt::format("column {}", column + 1);
}

std::string names_for_people(const Headings& headings, std::size_t columns) {
  if (headings.names.empty()) {
    return columns == 1 ? std::string("1 column without a name")
                        : fmt::format("{} columns without names", columns);
  }
  constexpr std::size_t long_enough = 200;
  std::string list;
  for (const std::string& name : headings.names) {
    if (name.empty()) continue;
    if (list.size() > long_enough) return list + ", ...";
    list += (list.empty() ? "" : ", ") + words::quoted(name);
  }
  return "the columns " + list;
}

}  // namespace lampbeat::capture::table
