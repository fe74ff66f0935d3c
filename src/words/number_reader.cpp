#include "words/number_reader.hpp"

#include <cmath>
#include <system_error>

#include <fast_float/fast_float.h>

namespace lampbeat::words {

// fast_float stands in for std::from_chars, which not every standard library has for doubles, and
// which knows no decimal comma.
const char* read_number(const char* first, const char* last, char decimal, double& value) {
  const fast_float::parse_options options(fast_float::chars_format::general, decimal);
  const auto [stop, error] = fast_float::from_chars_advanced(first, last, value, options);
  // Later versions report what is out of range, with the same values, as an error.
  const bool read = error == std::errc() || error == std::errc::result_out_of_range;
  return read ? stop : nullptr;
}

std::optional<double> number_in(std::string_view text, char decimal) {
  double value = 0.0;
  const char* const last = text.data() + text.size();
  if (text.empty() || read_number(text.data(), last, decimal, value) != last) return std::nullopt;
  return value;
}

std::optional<double> finite_number_in(std::string_view text) {
  const auto number = number_in(text);
  return number && std::isfinite(*number) ? number : std::nullopt;
}

}  // namespace lampbeat::words
