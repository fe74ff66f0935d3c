#include "words/units.hpp"

#include <fmt/format.h>

#include <cmath>

#include "words/numbers.hpp"

namespace lampbeat::words {

namespace {

/// From here on three digits of a unit read as one of the next: 999.5 ms is "1.00 s".
constexpr double reads_as_one = 0.9995;

}  // namespace

std::string percent(double value) {
  const double size = std::abs(value);
  if (size < 0.005) return value == 0.0 ? "0 %" : "under 0.01 %";
  // From 0.995 on, two decimals would show a digit more than 1.0 does.
  return fmt::format("{:.{}f} %", value, size < 0.995 ? 2 : 1);
}

std::string percent_at_most(double value) {
  const double step = value < 1.0 ? 0.01 : 0.1;
  constexpr double own_rounding = 1e-9;  // 8.9 is 88.99999 steps of 0.1
  return percent(std::floor(value / step + own_rounding) * step);
}

std::string hertz(double hz, int significant) {
  return std::abs(hz) >= 10000.0 ? in_digits_at_most(hz / 1000.0, significant) + " kHz"
                                 : in_digits_at_most(hz, significant) + " Hz";
}

std::string measured_hertz(double hz, double sd) {
  constexpr int most_decimals = 4;
  const int decimals = sd > 0.0 ? decimals_for(sd, 2, most_decimals) : most_decimals;
  return with_uncertainty(hz, sd, decimals, "Hz");
}

std::string with_uncertainty(double value, double sd, int decimals, const std::string& unit) {
  const std::string tail = unit.empty() ? "" : " " + unit;
  const std::string size =
      fmt::format("{}{:.{}f}", value < 0.0 ? "−" : "", std::abs(value), decimals);
  if (sd < 0.5 * std::pow(10.0, -decimals)) return size + tail;
  return fmt::format("{} ± {:.{}f}{}", size, sd, decimals, tail);
}

std::string stops(double value) {
  const std::string size = in_decimals_at_most(std::abs(value), 1);
  return size + (size == "1" ? " stop" : " stops");
}

std::string clean_stops(double value) {
  if (value <= 0.0) return "0";
  constexpr double shown = 100.0;
  const double whole = std::floor(shown * value);
  return whole < 1.0 ? "<0.01" : fmt::format("{:.2f}", whole / shown);
}

std::string measured_level(double level, double sd) {
  constexpr int digits_of_sd = 2;
  constexpr int most_decimals = 9;
  return with_uncertainty(level, sd, decimals_for(sd, digits_of_sd, most_decimals), "");
}

std::string duration(double seconds) {
  if (seconds >= 120.0) return in_digits(seconds / 60.0) + " min";
  if (seconds >= reads_as_one) return in_digits(seconds) + " s";
  if (seconds >= 1e-3 * reads_as_one) return in_digits(seconds * 1e3) + " ms";
  return in_digits(seconds * 1e6) + " µs";
}

}  // namespace lampbeat::words
