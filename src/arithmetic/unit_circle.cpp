#include "arithmetic/unit_circle.hpp"

#include <array>
#include <cmath>
#include <cstddef>

#include "arithmetic/phase.hpp"

namespace lampbeat::arithmetic {
namespace {

constexpr std::size_t points = 8192;

std::array<CirclePoint, points> make_table() {
  std::array<CirclePoint, points> table;
  for (std::size_t i = 0; i < points; ++i) {
    const double angle = turn * static_cast<double>(i) / points;
    table[i] = {std::cos(angle), std::sin(angle)};
  }
  return table;
}

}  // namespace

CirclePoint unit_circle(double angle_rad) {
  static const std::array<CirclePoint, points> table = make_table();
  const double steps = angle_rad * (points / (turn));
  const long long nearest = std::llrint(steps);
  const double rest = (steps - static_cast<double>(nearest)) * (turn / points);
  const CirclePoint& at = table[static_cast<std::size_t>(nearest) & (points - 1)];
  const double r2 = rest * rest;
  const double c = 1.0 - r2 * (0.5 - r2 / 24.0);
  const double s = rest * (1.0 - r2 / 6.0);
  return {at.cosine * c - at.sine * s, at.sine * c + at.cosine * s};
}

}  // namespace lampbeat::arithmetic
