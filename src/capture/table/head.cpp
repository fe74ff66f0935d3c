#include "capture/table/head.hpp"

#include "capture/table/cells.hpp"

namespace lampbeat::capture::table {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

bool starts_like_number(std::string_view line) {
  const std::size_t first = line.find_first_not_of(" \t\"");
  return first != std::string_view::npos &&
         std::string_view("0123456789+-.,;").find(line[first]) != std::string_view::npos;
}

/// Enough to see the columns' habits, and no more.
bool enough_lines(std::string_view text, std::size_t rows) {
  constexpr std::size_t most_bytes = 262144;
  if (text.size() >= most_bytes) return true;
  const char line_end = text.find('\n') != std::string_view::npos ? '\n' : '\r';
  std::size_t seen = 0;
  while (!text.empty() && seen < rows) {
    const std::size_t stop = text.find(line_end);
    if (stop == std::string_view::npos) return false;
    if (starts_like_number(text.substr(0, stop))) ++seen;
    text.remove_prefix(stop + 1);
  }
  return seen == rows;
}

/// '\n', or '\r' for texts that know only that.
char line_end_of(std::string_view text) {
  const bool only_returns =
      text.find('\n') == std::string_view::npos && text.find('\r') != std::string_view::npos;
  return only_returns ? '\r' : '\n';
}

/// `whole` says that the text ends where the file does.
std::vector<Line> lines_of(std::string_view text, char line_end, bool whole) {
  constexpr std::size_t most_lines = 4000;
  std::vector<Line> lines;
  while (!text.empty() && lines.size() < most_lines) {
    const std::size_t stop = text.find(line_end);
    if (stop == std::string_view::npos && !whole) break;  // its end is not in sight
    Line line;
    line.number = lines.size() + 1;
    line.text = trimmed(text.substr(0, stop));
    line.skipped = line.text.empty() || line.text.front() == '#';
    lines.push_back(line);
    if (stop == std::string_view::npos) break;
    text.remove_prefix(stop + 1);
  }
  return lines;
}

}  // namespace

Head look_at_head(files::ByteSource& source, std::size_t rows) {
  bool more = true;
  while (more && !enough_lines(source.head(), rows)) more = source.look_further();
  Head head;
  head.text = source.head();
  head.skip_bytes = head.text.starts_with(byte_order_mark) ? byte_order_mark.size() : 0;
  head.line_end = line_end_of(head.text);
  head.lines = lines_of(head.text.substr(head.skip_bytes), head.line_end, !more);
  return head;
}

}  // namespace lampbeat::capture::table
