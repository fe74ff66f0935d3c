#include "words/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>

namespace lampbeat::words {

namespace {

/// A double's own rounding shows in the sixteenth digit; nobody reads nine decimals.
constexpr int most_decimals = 9;

std::string without_zeros(std::string number) {
  if (number.find('.') == std::string::npos) return number;
  number.erase(number.find_last_not_of('0') + 1);
  if (number.back() == '.') number.pop_back();
  return number;
}

/// The sign before a number written without one; nothing but zeros has none.
std::string with_sign(double value, const std::string& size) {
  if (size.find_first_not_of("0.") == std::string::npos) return "0";
  return value < 0.0 ? "−" + size : size;
}

}  // namespace

int decimals_for(double value, int significant, int most) {
  if (value == 0.0 || !std::isfinite(value)) return 0;
  // The decade of the rounded number, which may be the next one; the formatter knows how it rounds.
  const std::string rounded = fmt::format("{:.{}e}", value, significant - 1);
  const int decade = std::stoi(rounded.substr(rounded.find('e') + 1));
  return std::clamp(significant - 1 - decade, 0, most);
}

std::string in_digits(double value, int significant) {
  return with_sign(value, fmt::format("{:.{}f}", std::abs(value),
                                      decimals_for(value, significant, most_decimals)));
}

std::string in_digits_apart(double value, int significant, std::initializer_list<double> edges) {
  const auto crosses = [&](int digits) {
    const double shown =
        std::stod(fmt::format("{:.{}f}", value, decimals_for(value, digits, most_decimals)));
    return std::any_of(edges.begin(), edges.end(),
                       [&](double edge) { return (value < edge) != (shown < edge); });
  };
  while (significant < most_decimals && crosses(significant)) ++significant;
  return in_digits(value, significant);
}

std::string in_digits_at_most(double value, int significant) {
  return without_zeros(in_digits(value, significant));
}

std::string in_decimals_at_most(double value, int decimals) {
  return without_zeros(with_sign(value, fmt::format("{:.{}f}", std::abs(value), decimals)));
}

}  // namespace lampbeat::words
