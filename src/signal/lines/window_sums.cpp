#include "signal/lines/window_sums.hpp"

#include <cmath>
#include <numbers>

#include "arithmetic/unit_circle.hpp"

namespace lampbeat::signal::lines {

WindowSums window_sums(std::size_t n, double v) {
  const double count = static_cast<double>(n);
  const double half = count / 2.0;
  // With w the angle per sample: cosine = D(w) = sin(n w/2)/sin(w/2), the others −D' and −D''.
  const double half_angle = v / half / 2.0;
  const double turns = std::round(half_angle / std::numbers::pi);
  const double d = half_angle - turns * std::numbers::pi;
  const bool odd_turns = static_cast<long long>(turns) % 2 != 0;
  const double sign = odd_turns && n % 2 == 0 ? -1.0 : 1.0;

  WindowSums sums;
  if (std::abs(count * d) < 0.05) {
    // Near the peak the closed forms cancel; a few terms of the power series are exact to 1e-12.
    const double n2 = count * count;
    const double m2 = count * (n2 - 1.0) / 12.0;
    const double m4 = m2 * (3.0 * n2 - 7.0) / 20.0;
    const double m6 = m2 * (3.0 * n2 * n2 - 18.0 * n2 + 31.0) / 112.0;
    const double w = 2.0 * d;
    const double w2 = w * w;
    sums.cosine = count - w2 * m2 / 2.0 + w2 * w2 * m4 / 24.0 - w2 * w2 * w2 * m6 / 720.0;
    sums.clock_sine = w * (m2 - w2 * m4 / 6.0 + w2 * w2 * m6 / 120.0);
    sums.clock2_cosine = m2 - w2 * m4 / 2.0 + w2 * w2 * m6 / 24.0;
  } else {
    const auto [c, s] = arithmetic::unit_circle(d);
    const auto [cn, sn] = arithmetic::unit_circle(count * d);
    const double first = (count * cn * s - sn * c) / (s * s);
    const double second =
        ((1.0 - count * count) * sn * s * s - 2.0 * c * (count * cn * s - sn * c)) / (s * s * s);
    sums.cosine = sn / s;
    sums.clock_sine = -first / 2.0;
    sums.clock2_cosine = -second / 4.0;
  }
  sums.cosine *= sign;
  sums.clock_sine *= sign / half;
  sums.clock2_cosine *= sign / (half * half);
  return sums;
}

}  // namespace lampbeat::signal::lines
