#pragma once

#include <charconv>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <system_error>

namespace lampbeat {

inline bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Reads a plain decimal such as -12.0345 at `p` and returns where it stops; nullptr when it is
/// anything harder (an exponent, more than 15 digits, no digit at all), which is not yet an error.
/// Correctly rounded: digits below 2^53 and a power of ten up to 10^22 are exact, so is their one
/// division (Clinger, "How to read floating point numbers accurately", 1990).
inline const char* read_plain_decimal(const char* p, const char* end, char decimal, double& value) {
  static constexpr double power_of_ten[] = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                            1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  const bool negative = p != end && *p == '-';
  if (negative || (p != end && *p == '+')) ++p;
  const char* const first_digit = p;
  std::uint64_t digits = 0;
  while (p != end && is_digit(*p)) digits = digits * 10 + static_cast<unsigned>(*p++ - '0');
  auto digit_count = p - first_digit;
  std::ptrdiff_t decimals = 0;
  if (p != end && *p == decimal) {
    const char* const first_decimal = ++p;
    while (p != end && is_digit(*p)) digits = digits * 10 + static_cast<unsigned>(*p++ - '0');
    decimals = p - first_decimal;
    digit_count += decimals;
    if (decimals == 0 && decimal == ',') return nullptr;
  }
  if (digit_count == 0 || digit_count > 15) return nullptr;
  if (p != end && (*p == 'e' || *p == 'E')) return nullptr;
  const double magnitude = static_cast<double>(digits) / power_of_ten[decimals];
  value = negative ? -magnitude : magnitude;
  return p;
}

/// Reads any finite number at `p` and returns where it stops; nullptr when that takes care.
inline const char* read_number(const char* p, const char* end, char decimal, double& value) {
  const char* const plain = read_plain_decimal(p, end, decimal, value);
  if (plain || p == end || decimal != '.' || !(is_digit(*p) || *p == '-')) return plain;
  const auto result = std::from_chars(p, end, value);
  const bool finite = value - value == 0.0;
  return result.ec == std::errc() && finite ? result.ptr : nullptr;
}

/// A whole cell as a number; empty when it is none. "nan", "inf" and overflow give NaN or infinity,
/// so that the caller can name them.
inline std::optional<double> parse_number(std::string_view cell, char decimal) {
  double value = 0.0;
  const char* const end = cell.data() + cell.size();
  if (read_plain_decimal(cell.data(), end, decimal, value) == end && !cell.empty()) return value;
  constexpr std::size_t longest = 400;
  if (cell.empty() || cell.size() > longest) return std::nullopt;
  std::string text(cell.front() == '+' ? cell.substr(1) : cell);
  if (decimal == ',') {
    if (text.find('.') != std::string::npos || text.back() == ',') return std::nullopt;
    if (const std::size_t comma = text.find(','); comma != std::string::npos) text[comma] = '.';
  }
  if (text.empty() || text.front() == '+') return std::nullopt;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
  if (result.ptr != text.data() + text.size()) return std::nullopt;
  if (result.ec == std::errc::result_out_of_range) {
    const std::size_t exponent = text.find_first_of("eE");
    const bool tiny =
        exponent != std::string::npos && text.find('-', exponent) != std::string::npos;
    return tiny ? 0.0 : std::numeric_limits<double>::infinity();
  }
  if (result.ec != std::errc()) return std::nullopt;
  return value;
}

}  // namespace lampbeat
