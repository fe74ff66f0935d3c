#include "words/table.hpp"

#include <algorithm>

#include "words/columns.hpp"
#include "words/wrapping.hpp"

namespace lampbeat::words {

namespace {

/// With fewer a remark would be a tower of single words, the longest of them over the edge.
constexpr int fewest_remark_columns = 16;

}  // namespace

std::string table(const std::vector<TableRow>& rows, const TextStyle& style) {
  const std::string gap = "   ";
  int label_width = 0;
  for (const TableRow& row : rows) label_width = std::max(label_width, columns(row.label));
  const int beside_values = 2 + label_width + columns(gap) + columns(gap) + fewest_remark_columns;
  const auto remark_fits_beside = [&](const TableRow& row) {
    return columns(row.value) <= style.width - beside_values;
  };
  int value_width = 0;
  for (const TableRow& row : rows) {
    if (row.remark.empty() || !remark_fits_beside(row)) continue;
    value_width = std::max(value_width, columns(row.value));
  }
  std::string result;
  for (const TableRow& row : rows) {
    const std::string label = "  " + padded(row.label, label_width) + gap;
    const bool beside = !row.remark.empty() && remark_fits_beside(row);
    if (!beside) result += wrapped(row.value, style.width, label) + "\n";
    if (row.remark.empty()) continue;
    const std::string before =
        padded(beside ? label + row.value : "", columns(label) + value_width);
    result += wrapped(row.remark, style.width, before + gap) + "\n";
  }
  return result;
}

}  // namespace lampbeat::words
