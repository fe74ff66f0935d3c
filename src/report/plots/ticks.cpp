#include "report/plots/ticks.hpp"

#include <cmath>
#include <initializer_list>

namespace lampbeat::report::plots {

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
    values.push_back(i * step + 0.0);  // the first one below zero would be −0
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

}  // namespace lampbeat::report::plots
