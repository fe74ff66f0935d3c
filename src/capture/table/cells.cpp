#include "capture/table/cells.hpp"

#include <algorithm>

namespace lampbeat::capture::table {
namespace {

constexpr std::size_t most_cells = 10000;

bool is_blank(char c) { return c == ' ' || c == '\t'; }

}  // namespace

const char* separator_name(Separator separator) {
  switch (separator) {
    case Separator::comma:
      return "comma";
    case Separator::semicolon:
      return "semicolon";
    case Separator::tab:
      return "tab";
    case Separator::blank:
      break;
  }
  return "blank";
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && (is_blank(text.back()) || text.back() == '\r')) text.remove_suffix(1);
  return text;
}

void split_cells(std::string_view line, Separator separator, Cells& cells) {
  cells.clear();
  const char mark = static_cast<char>(separator);
  const bool runs = separator == Separator::blank;
  if (runs) line = trimmed(line);
  if (line.empty()) return;
  for (std::size_t at = 0; cells.size() < most_cells;) {
    while (at < line.size() && line[at] != mark && is_blank(line[at])) ++at;
    std::size_t stop = at;
    if (at < line.size() && line[at] == '"') {
      const std::size_t closing = line.find('"', at + 1);
      if (closing != std::string_view::npos) stop = closing + 1;
    }
    if (runs) {
      while (stop < line.size() && !is_blank(line[stop])) ++stop;
    } else {
      stop = std::min(line.find(mark, stop), line.size());
    }
    std::string_view cell = trimmed(line.substr(at, stop - at));
    if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"') {
      cell = trimmed(cell.substr(1, cell.size() - 2));
    }
    cells.push_back(cell);
    if (stop >= line.size()) return;
    at = stop + 1;
    while (runs && at < line.size() && is_blank(line[at])) ++at;
  }
}

}  // namespace lampbeat::capture::table
