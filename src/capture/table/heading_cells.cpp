#include "capture/table/heading_cells.hpp"

#include <algorithm>

namespace lampbeat::capture::table {
namespace {

/// In a cell of its own the mark names the column of row numbers.
std::string_view without_comment_mark(std::string_view line, Separator separator) {
  const bool own_cell = separator != Separator::blank && line.size() > 1 && line.front() == '#' &&
                        line[1] == static_cast<char>(separator);
  if (own_cell) return line;
  while (!line.empty() && line.front() == '#') line.remove_prefix(1);
  return trimmed(line);
}

/// Headings separated by blanks may hold blanks before a unit: "time (s)  light (V)".
void join_units(Cells& cells) {
  for (std::size_t i = 1; i < cells.size();) {
    const bool unit = !cells[i].empty() && (cells[i].front() == '(' || cells[i].front() == '[');
    if (!unit) {
      ++i;
      continue;
    }
    const char* const begin = cells[i - 1].data();
    const char* const end = cells[i].data() + cells[i].size();
    cells[i - 1] = std::string_view(begin, static_cast<std::size_t>(end - begin));
    cells.erase(cells.begin() + static_cast<std::ptrdiff_t>(i));
  }
}

}  // namespace

bool same_name(std::string_view a, std::string_view b) {
  const auto lower = [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  };
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [&](char x, char y) { return lower(x) == lower(y); });
}

Cells heading_cells(std::string_view line, Separator separator) {
  Cells cells;
  split_cells(without_comment_mark(line, separator), separator, cells);
  if (separator == Separator::blank) join_units(cells);
  return cells;
}

}  // namespace lampbeat::capture::table
