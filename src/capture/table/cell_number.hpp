#pragma once

#include <optional>
#include <string_view>

#include "words/number_reader.hpp"

namespace lampbeat::capture::table {

/// What `read_cell_number` does with numbers that take more care: exponents, many digits.
const char* read_careful_number(const char* p, const char* end, char decimal, double& value);

/// Reads the finite number at `p` within a row and returns where it stops; nullptr when that takes
/// care, which is not yet an error.
inline const char* read_cell_number(const char* p, const char* end, char decimal, double& value) {
  if (p != end && *p == '+') ++p;
  const char* const stop = words::read_plain_decimal(p, end, decimal, value);
  return stop && stop[-1] != ',' ? stop : read_careful_number(p, end, decimal, value);
}

/// A whole cell as a number; empty when it is none. "nan", "inf" and overflow give NaN or infinity,
/// so that the caller can name them.
std::optional<double> parse_number(std::string_view cell, char decimal);

bool is_number(std::string_view cell, char decimal);

}  // namespace lampbeat::capture::table
