#include "capture/table/decimal_commas.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "capture/table/cell_number.hpp"
#include "capture/table/heading_cells.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::capture::table {
namespace {

/// Three digits behind the comma, one to three before it, and no 0 in front.
bool may_be_grouped(const std::string& cell, std::size_t comma) {
  constexpr std::size_t group = 3;
  const std::size_t first = cell.find_first_of("0123456789");
  return cell.size() == comma + 1 + group && cell[first] != '0' && comma - first <= group;
}

/// Whether there are commas and every one of them could also part thousands.
bool commas_may_be_thousands(const Sample& sample) {
  bool any = false;
  for (const auto& row : sample.rows) {
    for (const std::string& cell : row) {
      const std::size_t comma = cell.find(',');
      if (comma == std::string::npos) continue;
      any = true;
      if (!may_be_grouped(cell, comma)) return false;
    }
  }
  return any;
}

/// Half as many headings as columns: every comma but one in two marks decimals.
void refuse_half_the_headings(const std::string& file, const Head& head, const Reading& reading) {
  if (reading.first == 0 || reading.separator != Separator::comma) return;
  const Cells above = heading_cells(head.lines[reading.first - 1].text, Separator::comma);
  if (above.size() < 2 || 2 * above.size() != reading.columns) return;
  throw InputError(fmt::format(
      "{}, line {}: {} headings stand over {} columns; with decimal commas in a "
      "comma-separated table\nthe numbers cannot be told apart. Export with semicolons or "
      "decimal points",
      file, head.lines[reading.first].number, above.size(), reading.columns));
}

}  // namespace

bool one_column_of_decimal_commas(const Head& head, const Reading& reading, const Sample& sample) {
  if (reading.separator != Separator::comma || reading.columns != 2 || reading.first == 0) {
    return false;
  }
  const std::string_view heading = head.lines[reading.first - 1].text;
  if (heading.empty() || heading.find(',') != std::string_view::npos) return false;
  return std::all_of(sample.rows.begin(), sample.rows.end(), [](const auto& row) {
    return !row[1].empty() && std::all_of(row[1].begin(), row[1].end(), words::is_digit) &&
           row[0].find('.') == std::string::npos;
  });
}

Reading as_one_column(const Head& head, Reading reading) {
  reading.separator = Separator::semicolon;
  reading.decimal = ',';
  follow(head, reading);
  return reading;
}

void refuse_ambiguous_commas(const std::string& file, const Head& head, const Reading& reading,
                             const Sample& sample) {
  refuse_half_the_headings(file, head, reading);
  const bool wide_separator =
      reading.separator == Separator::tab || reading.separator == Separator::blank;
  if (!wide_separator || reading.decimal != ',' || !commas_may_be_thousands(sample)) return;
  const Line& line = head.lines[reading.first];
  throw InputError(
      fmt::format("{}, line {}: the commas in {} could mark decimals or thousands;\nexport with "
                  "decimal points, or with semicolons between the columns",
                  file, line.number, words::quoted(line.text)));
}

}  // namespace lampbeat::capture::table
