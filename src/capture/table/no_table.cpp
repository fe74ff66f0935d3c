#include "capture/table/no_table.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "capture/table/cell_number.hpp"
#include "capture/table/heading_cells.hpp"
#include "capture/table/headings.hpp"
#include "capture/table/reading.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::capture::table {
namespace {

/// Whether a line holds a time of day or a date: 12:34, 2026-11-29.
bool looks_like_clock(std::string_view line) {
  for (std::size_t i = 1; i + 2 < line.size(); ++i) {
    const char mark = line[i];
    const bool between = words::is_digit(line[i - 1]) && words::is_digit(line[i + 1]) &&
                         words::is_digit(line[i + 2]);
    if (mark == ':' && between) return true;
    const bool date_mark = mark == '-' || mark == '/';
    if (date_mark && between && i + 3 < line.size() && line[i + 3] == mark) return true;
  }
  return false;
}

/// Control characters other than white space and escape.
bool in_no_text(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return (byte < 0x20 && (byte < 0x09 || byte > 0x0D) && byte != 0x1B) || byte == 0x7F;
}

/// Throws InputError when a byte of the first `length` is in no text.
void refuse_binary(const std::string& file, std::string_view text, std::size_t length) {
  const std::string_view searched = text.substr(0, length);
  const auto odd = std::find_if(searched.begin(), searched.end(), in_no_text);
  if (odd == searched.end()) return;
  constexpr std::size_t shown = 8;
  std::string first_bytes;
  for (const char c : text.substr(0, shown)) {
    first_bytes += fmt::format("{:02X} ", static_cast<unsigned char>(c));
  }
  first_bytes.pop_back();
  throw InputError(
      fmt::format("{}: this is neither a known sound file nor text: byte {} is 0x{:02X} (the file "
                  "begins {});\nexport the capture as WAV, FLAC or CSV",
                  file, odd - searched.begin(), static_cast<unsigned char>(*odd), first_bytes));
}

void refuse_times_of_day(const std::string& file, const Head& head) {
  for (const Line& line : head.lines) {
    if (line.skipped || !looks_like_clock(line.text)) continue;
    throw InputError(
        fmt::format("{}, line {}: {} gives times of day; lampbeat needs seconds counted from "
                    "anywhere.\nExport elapsed seconds, or choose the reading with --value COL "
                    "and the pace with --rate HZ",
                    file, line.number, words::quoted(line.text)));
  }
}

/// The first line that is no comment, else the last comment.
const Line* line_to_show(const Head& head) {
  const Line* shown = nullptr;
  for (const Line& line : head.lines) {
    if (line.text.empty()) continue;
    shown = &line;
    if (!line.skipped) break;
  }
  return shown;
}

[[noreturn]] void refuse_without_table(const std::string& file, const Head& head) {
  refuse_binary(file, head.text, head.text.size());
  if (head.lines.empty()) {
    throw InputError(fmt::format(
        "{}: line 1 does not end within 256 KiB, so this is no table of numbers;\nexport one row "
        "per line",
        file));
  }
  refuse_times_of_day(file, head);
  const Line* const shown = line_to_show(head);
  if (!shown) {
    throw InputError(fmt::format("{}: it holds nothing but blank lines; record it again", file));
  }
  throw InputError(
      fmt::format("{}: no row of numbers found in it; line {} reads {}.\nExport columns of plain "
                  "numbers; if some columns hold words, choose others with --time and --value",
                  file, shown->number, words::quoted(shown->text)));
}

/// The wish that the table, read without wishes, does not fulfil.
const ColumnWish& unfulfilled(const ColumnWishes& wishes, const Headings& headings,
                              std::size_t columns) {
  const auto exists = [&](const ColumnWish& wish) {
    if (wish.index) return *wish.index < columns;
    return std::any_of(headings.names.begin(), headings.names.end(),
                       [&](const std::string& name) { return same_name(name, wish.text); });
  };
  if (!wishes.value || (wishes.time && !exists(*wishes.time))) return *wishes.time;
  return *wishes.value;
}

}  // namespace

void refuse_unreadable(const std::string& file, const Head& head, const ColumnWishes& wishes) {
  if (!wishes.time && !wishes.value) refuse_without_table(file, head);
  const Reading plain = best_reading(head, {});
  if (plain.rows == 0) refuse_without_table(file, head);
  const Headings headings = find_headings(head, plain);
  const ColumnWish& missing = unfulfilled(wishes, headings, plain.columns);
  throw UsageError(fmt::format("{}: there is no column {} with numbers in it; the table has {}",
                               file, missing.index ? missing.text : words::quoted(missing.text),
                               names_for_people(headings, plain.columns)));
}

void refuse_binary_before(const std::string& file, const Head& head, std::size_t first) {
  const char* const data = head.lines[first].text.data();
  refuse_binary(file, head.text, static_cast<std::size_t>(data - head.text.data()));
}

}  // namespace lampbeat::capture::table
