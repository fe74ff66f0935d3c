#include "capture/clock/printed_precision.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>

namespace lampbeat::capture::clock {

void PrintedPrecision::see(std::string_view number, char decimal) {
  const std::size_t mark = number.find(decimal);
  const bool plain = !number.empty() && number.front() >= '1' && number.front() <= '9';
  if (any_ && plain && number.size() == seen_length_ && mark == seen_mark_) {
    return;  // as many digits as the one before
  }
  seen_length_ = plain ? number.size() : 0;
  seen_mark_ = mark;
  study(number, decimal);
}

void PrintedPrecision::study(std::string_view number, char decimal) {
  int digits = 0;
  int decimals = 0;
  int exponent = 0;
  bool behind_mark = false;
  for (std::size_t i = 0; i < number.size(); ++i) {
    const char c = number[i];
    if (c == decimal) {
      behind_mark = true;
    } else if (c == 'e' || c == 'E') {
      const std::size_t from = i + 1 + (i + 1 < number.size() && number[i + 1] == '+');
      std::from_chars(number.data() + from, number.data() + number.size(), exponent);
      break;
    } else if (c >= '0' && c <= '9') {
      if (digits > 0 || c != '0') ++digits;
      decimals += behind_mark;
    }
  }
  decimals -= std::clamp(exponent, -300, 300);
  if (digits == 0) return;  // a zero tells nothing
  if (!any_ || decimals > decimals_ || digits > digits_) decade_to_ = 0.0;
  decimals_ = any_ ? std::max(decimals_, decimals) : decimals;
  digits_ = std::max(digits_, digits);
  any_ = true;
}

double PrintedPrecision::at(double value) const {
  if (!any_) return 0.0;
  const double size = std::abs(value);
  if (!(size >= decade_from_ && size < decade_to_)) {
    const int decade = size > 0.0 ? static_cast<int>(std::floor(std::log10(size))) : -300;
    decade_from_ = size > 0.0 ? std::pow(10.0, decade) : 0.0;
    decade_to_ = size > 0.0 ? 10.0 * decade_from_ : 1e-300;
    worth_ = std::pow(10.0, std::max(-decimals_, decade + 1 - digits_));
  }
  return worth_;
}

}  // namespace lampbeat::capture::clock
