#include "capture/table/cell_number.hpp"

namespace lampbeat {

std::optional<double> parse_number(std::string_view cell, char decimal) {
  // No number is written longer; what is, is a cell gone wrong.
  constexpr std::size_t longest_number = 400;
  if (cell.size() > longest_number) return std::nullopt;
  if (!cell.empty() && cell.front() == '+') cell.remove_prefix(1);
  if (ends_in_comma(cell.data(), cell.data() + cell.size())) return std::nullopt;
  return number_in(cell, decimal);
}

bool is_number(std::string_view cell, char decimal) {
  return parse_number(cell, decimal).has_value();
}

}  // namespace lampbeat
