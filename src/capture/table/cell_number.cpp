#include "capture/table/cell_number.hpp"

#include <cmath>

namespace lampbeat::capture::table {
namespace {

/// "12." is a number, "12," a cell with a separator too many.
bool ends_in_comma(const char* begin, const char* end) { return end != begin && end[-1] == ','; }

}  // namespace

const char* read_careful_number(const char* p, const char* end, char decimal, double& value) {
  const char* const stop = words::read_number(p, end, decimal, value);
  return stop && std::isfinite(value) && !ends_in_comma(p, stop) ? stop : nullptr;
}

std::optional<double> parse_number(std::string_view cell, char decimal) {
  // No number is written longer; what is, is a cell gone wrong.
  constexpr std::size_t longest_number = 400;
  if (cell.size() > longest_number) return std::nullopt;
  if (!cell.empty() && cell.front() == '+') cell.remove_prefix(1);
  if (ends_in_comma(cell.data(), cell.data() + cell.size())) return std::nullopt;
  return words::number_in(cell, decimal);
}

bool is_number(std::string_view cell, char decimal) {
  return parse_number(cell, decimal).has_value();
}

}  // namespace lampbeat::capture::table
