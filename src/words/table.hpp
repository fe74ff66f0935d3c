#pragma once

#include <string>
#include <vector>

#include "lampbeat/text_style.hpp"

namespace lampbeat::words {

/// "  label      value   remark"; without a remark the value may take the whole line.
struct TableRow {
  std::string label;
  std::string value;
  std::string remark;
};

/// Rows with their labels and values aligned, wrapped to the style's width. Where a long value
/// would leave its remark no room, the remark stands below it.
std::string table(const std::vector<TableRow>& rows, const TextStyle& style);

}  // namespace lampbeat::words
