#include "report/plots/numbers.hpp"

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

std::vector<double> ticks(double low, double high, int wanted) {
  std::vector<double> values;
  if (!(high > low) || wanted < 1) return values;
  const double rough = (high - low) / wanted;
  const double decade = std::pow(10.0, std::floor(std::log10(rough)));
  double step = 10.0 * decade;
  for (const double nice : {1.0, 2.0, 5.0}) {
    if (nice * decade >= rough) {
      step = nice * decade;
      break;
    }
  }
  for (double i = std::ceil(low / step - 1e-9); i * step <= high + step * 1e-9; i += 1.0) {
    values.push_back(i * step);
  }
  return values;
}

std::vector<double> log_ticks(double low, double high) {
  std::vector<double> values;
  const auto gather = [&](std::initializer_list<double> mantissas) {
    values.clear();
    for (double e = std::floor(std::log10(low)); e <= std::log10(high); e += 1.0) {
      for (const double m : mantissas) {
        const double value = m * std::pow(10.0, e);
        if (value >= low * (1 - 1e-9) && value <= high * (1 + 1e-9)) values.push_back(value);
      }
    }
  };
  gather({1.0});
  if (values.size() < 3) gather({1.0, 2.0, 5.0});
  return values;
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
