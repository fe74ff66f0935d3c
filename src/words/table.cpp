#include "words/table.hpp"

#include <algorithm>

#include "words/columns.hpp"
#include "words/wrapping.hpp"

namespace lampbeat::words {

std::string table(const std::vector<TableRow>& rows, const TextStyle& style) {
  const std::string gap = "   ";
  int label_width = 0;
  int value_width = 0;
  for (const TableRow& row : rows) {
    label_width = std::max(label_width, columns(row.label));
    if (!row.remark.empty()) value_width = std::max(value_width, columns(row.value));
  }
  std::string result;
  for (const TableRow& row : rows) {
    const std::string label = "  " + padded(row.label, label_width) + gap;
    result += row.remark.empty()
                  ? wrapped(row.value, style.width, label)
                  : wrapped(row.remark, style.width, label + padded(row.value, value_width) + gap);
    result += "\n";
  }
  return result;
}

}  // namespace lampbeat::words
