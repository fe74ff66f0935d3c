#include <fmt/format.h>

#include <cmath>

#include "lampbeat/shutters.hpp"
#include "reasoning/camera/notation.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

namespace {

/// The last digit of a label, in its unit.
constexpr double last_digit = 0.01;
constexpr double last_digit_of_us = 0.1;
constexpr double shortest_in_ms = 1e-3;

/// A number of units to so many places, rounded as asked.
std::string rounded(double value, double digit, LabelRounding rounding, bool longer_is_more) {
  constexpr double already_round = 1e-6;  // of a digit: what arithmetic left of it
  const double digits = value / digit;
  const bool up = (rounding == LabelRounding::longer) == longer_is_more;
  double whole = std::round(digits);
  if (rounding != LabelRounding::nearest && std::abs(digits - whole) > already_round) {
    whole = up ? std::ceil(digits) : std::floor(digits);
  }
  return words::in_decimals_at_most(whole * digit, digit < last_digit_of_us ? 2 : 1);
}

}  // namespace

std::optional<ShutterNotation> shutter_notation(std::string_view text) {
  using namespace reasoning::camera;
  std::string_view rest = trimmed(text);
  for (const std::string_view ending : {"degrees", "deg", "\u00b0"}) {
    if (!take_ending(rest, ending)) continue;
    return decimal_from(rest) ? std::optional(ShutterNotation::angle) : std::nullopt;
  }
  if (!seconds_from(rest)) return std::nullopt;
  return rest.find('/') == std::string_view::npos ? ShutterNotation::time
                                                  : ShutterNotation::fraction;
}

std::string shutter_label(double exposure_s, FrameRate fps, ShutterNotation notation,
                          LabelRounding rounding) {
  if (notation == ShutterNotation::fraction) {
    return "1/" + rounded(1.0 / exposure_s, last_digit, rounding, false);
  }
  if (notation == ShutterNotation::angle) {
    return rounded(shutter_angle_deg(exposure_s, fps), last_digit, rounding, true) + "\u00b0";
  }
  if (exposure_s >= shortest_in_ms) {
    return rounded(1e3 * exposure_s, last_digit, rounding, true) + " ms";
  }
  return rounded(1e6 * exposure_s, last_digit_of_us, rounding, true) + " \u00b5s";
}

}  // namespace lampbeat
