#include "reasoning/judge/gain_bound.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lampbeat/exposure.hpp"

namespace lampbeat::reasoning::judge {

double greatest_gain(double from_cycles, double to_cycles) {
  // Tops are placed to first order; that of the first lobe is 0.15 % higher than where it is
  // placed.
  constexpr double rounding = 1.002;
  const double ends = std::max(std::abs(sinc(from_cycles)), std::abs(sinc(to_cycles)));
  const auto top_of = [](double lobe) {
    const double middle = lobe + 0.5;
    return middle - 1.0 / (std::numbers::pi * std::numbers::pi * middle);
  };
  double lobe = std::max(1.0, std::floor(from_cycles));
  double top = top_of(lobe);
  if (top < from_cycles) top = top_of(lobe + 1.0);
  if (top > to_cycles) return ends;
  return std::max(ends, rounding / std::hypot(1.0, std::numbers::pi * top));
}

}  // namespace lampbeat::reasoning::judge
