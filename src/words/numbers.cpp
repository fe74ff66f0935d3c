#include "words/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lampbeat {

std::string in_digits(double value, int significant) {
  if (value == 0.0) return "0";
  // Rounding may carry into the next decade (9.996 -> 10.0), so the decade is that of the rounded.
  const auto decade = [](double x) {
    return static_cast<int>(std::floor(std::log10(std::abs(x))));
  };
  const double unit = std::pow(10.0, decade(value) - significant + 1);
  const double rounded = std::round(value / unit) * unit;
  const int decimals = std::clamp(significant - 1 - decade(rounded), 0, 9);
  std::string text = fmt::format("{:.{}f}", std::abs(value), decimals);
  if (text.find_first_not_of("0.") == std::string::npos) return "0";
  return value < 0.0 ? "−" + text : text;
}

std::string trimmed(std::string number) {
  if (number.find('.') == std::string::npos) return number;
  number.erase(number.find_last_not_of('0') + 1);
  if (number.back() == '.') number.pop_back();
  return number;
}

std::string hz_label(double hz) {
  if (hz >= 10000.0) return in_digits(hz / 1000.0, 3) + " kHz";
  if (hz >= 1000.0) return in_digits(hz, 4) + " Hz";
  return in_digits(hz, 3) + " Hz";
}

std::string duration_label(double seconds) {
  if (seconds >= 1.0) return in_digits(seconds, 3) + " s";
  if (seconds >= 0.001) return in_digits(seconds * 1e3, 3) + " ms";
  return in_digits(seconds * 1e6, 3) + " µs";
}

}  // namespace lampbeat
