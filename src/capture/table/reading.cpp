#include "capture/table/reading.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "capture/table/cell_number.hpp"
#include "capture/table/heading_cells.hpp"

namespace lampbeat::capture::table {
namespace {

std::optional<std::size_t> place_of_heading(const Head& head, Separator separator,
                                            std::string_view name) {
  for (const Line& line : head.lines) {
    const Cells cells = heading_cells(line.text, separator);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (same_name(cells[i], name)) return i;
    }
  }
  return std::nullopt;
}

/// The columns wished for, as this way of reading counts them; false when a name stands in none of
/// the lines.
bool place_wishes(const Head& head, const ColumnWishes& wishes, Reading& reading) {
  const auto place = [&](const std::optional<ColumnWish>& wish) {
    if (!wish || wish->index) return wish ? wish->index : std::nullopt;
    return place_of_heading(head, reading.separator, trimmed(wish->text));
  };
  reading.time_wish = place(wishes.time);
  reading.value_wish = place(wishes.value);
  return reading.time_wish.has_value() == wishes.time.has_value() &&
         reading.value_wish.has_value() == wishes.value.has_value();
}

/// The width that most rows have; of equally many, the greatest.
void find_width(const Head& head, Reading& reading) {
  Cells cells;
  std::map<std::size_t, std::size_t> rows_of_width;
  for (const Line& line : head.lines) {
    if (line.skipped) continue;
    split_cells(line.text, reading.separator, cells);
    if (row_of_numbers(cells, reading)) ++rows_of_width[cells.size()];
  }
  reading.rows = 0;
  for (const auto& [width, rows] : rows_of_width) {
    if (rows < reading.rows) continue;
    reading.rows = rows;
    reading.columns = width;
  }
}

/// A start and an increment may stand behind the first reading alone: its row is wider.
void take_wider_row_before(const Head& head, Reading& reading) {
  reading.widest = 0;
  if (reading.rows == 0 || reading.first < 2 || reading.separator == Separator::blank) return;
  const Line& before = head.lines[reading.first - 1];
  const Cells names = heading_cells(head.lines[reading.first - 2].text, reading.separator);
  Cells cells;
  split_cells(before.text, reading.separator, cells);
  const auto begin = cells.begin();
  const auto own_end = begin + static_cast<std::ptrdiff_t>(std::min(reading.columns, cells.size()));
  const bool complete = std::all_of(
      begin, own_end, [&](std::string_view cell) { return is_number(cell, reading.decimal); });
  const bool named = names.size() >= cells.size() &&
                     std::none_of(names.begin() + static_cast<std::ptrdiff_t>(reading.columns),
                                  names.end(), [&](std::string_view name) {
                                    return name.empty() || is_number(name, reading.decimal);
                                  });
  if (before.skipped || cells.size() <= reading.columns || !complete || !named ||
      !row_of_numbers(cells, reading)) {
    return;
  }
  reading.first -= 1;
  reading.widest = cells.size();
}

}  // namespace

bool row_of_numbers(const Cells& cells, const Reading& reading) {
  if (reading.time_wish || reading.value_wish) {
    const auto granted = [&](const std::optional<std::size_t>& wish) {
      return !wish || (*wish < cells.size() && is_number(cells[*wish], reading.decimal));
    };
    return granted(reading.time_wish) && granted(reading.value_wish);
  }
  bool any = false;
  for (const std::string_view cell : cells) {
    if (cell.empty()) continue;
    if (!is_number(cell, reading.decimal)) return false;
    any = true;
  }
  return any;
}

void follow(const Head& head, Reading& reading) {
  find_width(head, reading);
  Cells cells;
  for (std::size_t i = 0; i < head.lines.size(); ++i) {
    if (head.lines[i].skipped) continue;
    split_cells(head.lines[i].text, reading.separator, cells);
    if (cells.size() == reading.columns && row_of_numbers(cells, reading)) {
      reading.first = i;
      break;
    }
  }
  take_wider_row_before(head, reading);
}

Reading best_reading(const Head& head, const ColumnWishes& wishes) {
  Reading best;
  for (const Separator separator :
       {Separator::semicolon, Separator::tab, Separator::comma, Separator::blank}) {
    for (const char decimal : {'.', ','}) {
      Reading reading;
      reading.separator = separator;
      reading.decimal = decimal;
      if (!place_wishes(head, wishes, reading)) continue;
      follow(head, reading);
      if (std::pair(reading.rows, reading.columns) > std::pair(best.rows, best.columns)) {
        best = reading;
      }
    }
  }
  return best;
}

}  // namespace lampbeat::capture::table
