#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>

namespace lampbeat::words {

constexpr bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// A decimal of few digits and without an exponent, which is what sensors print; nullptr for
/// anything harder. Its digits, below 2^53, and its power of ten, up to 10^15, are exact doubles,
/// so that their one division rounds correctly (Clinger, "How to read floating point numbers
/// accurately", 1990). Here and not in the source: half the time of reading a table is spent in it.
inline const char* read_plain_decimal(const char* p, const char* last, char decimal,
                                      double& value) {
  static constexpr std::array power_of_ten = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                              1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
  constexpr auto most_digits = static_cast<std::ptrdiff_t>(power_of_ten.size()) - 1;
  const bool negative = p != last && *p == '-';
  if (negative) ++p;
  std::uint64_t digits = 0;
  const auto take_digits = [&] {
    const char* const from = p;
    for (; p != last; ++p) {
      const auto digit = static_cast<unsigned>(*p - '0');
      if (digit > 9) break;
      digits = digits * 10 + digit;
    }
    return p - from;
  };
  const std::ptrdiff_t whole = take_digits();
  std::ptrdiff_t decimals = 0;
  if (p != last && *p == decimal) {
    ++p;
    decimals = take_digits();
  }
  if (whole + decimals == 0 || whole + decimals > most_digits) return nullptr;
  if (p != last && (*p == 'e' || *p == 'E')) return nullptr;
  const double magnitude =
      static_cast<double>(digits) / power_of_ten[static_cast<std::size_t>(decimals)];
  value = negative ? -magnitude : magnitude;
  return p;
}

/// Reads the number at `first` and returns where it stops; nullptr when none begins there.
/// As C writes them, whatever the locale: -12.5, .5, 2e-3, inf, nan; no plus in front, no blanks.
/// The value is the double nearest to what is written: infinite when that is too large for one, 0
/// when it is too small. `decimal` is the decimal mark.
const char* read_number(const char* first, const char* last, char decimal, double& value);

/// The whole text as a number, by the same rules; empty when it is none.
std::optional<double> number_in(std::string_view text, char decimal = '.');

/// The same, without infinity and nan.
std::optional<double> finite_number_in(std::string_view text);

}  // namespace lampbeat::words
