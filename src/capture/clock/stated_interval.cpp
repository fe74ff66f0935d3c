#include "capture/clock/stated_interval.hpp"

#include <algorithm>
#include <cmath>

#include "capture/clock/printed_precision.hpp"

namespace lampbeat::capture::clock {
namespace {

/// No instrument states its interval worse than this.
constexpr double worst_rounding = 0.005;
/// An exact one is as good as its digits make a double.
constexpr double least_rounding = 1e-12;
constexpr double round_within = 1e-9;

/// Whether two significant digits write it: 0.000020, 44000, 1.2e-5.
bool in_two_digits(double value) {
  const double decade = std::pow(10.0, std::floor(std::log10(value)) - 1.0);
  const double digits = value / decade;
  return std::abs(digits - std::round(digits)) < round_within * digits;
}

}  // namespace

double rounding_of_figure(std::string_view figure, char decimal, double value) {
  if (in_two_digits(value) || in_two_digits(1.0 / value)) return least_rounding;
  PrintedPrecision precision;
  precision.see(figure, decimal);
  const bool whole = figure.find(decimal) == std::string_view::npos &&
                     figure.find_first_of("eE") == std::string_view::npos;
  const double half_digit = whole ? 0.0 : precision.at(value) / 2.0;
  return std::clamp(half_digit / value, least_rounding, worst_rounding);
}

}  // namespace lampbeat::capture::clock
