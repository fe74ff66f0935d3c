#pragma once

#include <cmath>
#include <numbers>

namespace lampbeat::reasoning::camera {

/// sin(πx) without the rounding of πx at large x: the whole turns are taken off first.
inline double sin_pi(double x) {
  const double nearest = std::nearbyint(x);
  const double sine = std::sin(std::numbers::pi * (x - nearest));
  const double pairs = 0.5 * nearest;
  return pairs == std::nearbyint(pairs) ? sine : -sine;
}

}  // namespace lampbeat::reasoning::camera
