#pragma once

#include <optional>
#include <string_view>

#include "words/number_reader.hpp"

namespace lampbeat {

/// "12." is a number, "12," a cell with a separator too many.
inline bool ends_in_comma(const char* begin, const char* end) {
  return end != begin && end[-1] == ',';
}

/// Reads the finite number at `p` within a row and returns where it stops; nullptr when that takes
/// care, which is not yet an error.
inline const char* read_cell_number(const char* p, const char* end, char decimal, double& value) {
  if (p != end && *p == '+') ++p;
  const char* stop = read_plain_decimal(p, end, decimal, value);
  if (!stop) stop = read_number(p, end, decimal, value);
  const bool finite = value - value == 0.0;
  return stop && finite && !ends_in_comma(p, stop) ? stop : nullptr;
}

/// A whole cell as a number; empty when it is none. "nan", "inf" and overflow give NaN or infinity,
/// so that the caller can name them.
std::optional<double> parse_number(std::string_view cell, char decimal);

bool is_number(std::string_view cell, char decimal);

}  // namespace lampbeat
