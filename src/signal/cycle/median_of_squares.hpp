#pragma once

namespace lampbeat::signal::cycle {

/// Median of a chi-squared variable over its degrees of freedom: by Wilson & Hilferty, PNAS 17,
/// 1931; of fewer than two degrees, where they are off, by its own value at one (0.4549).
inline double median_of_squares(double freedom) {
  constexpr double of_one = 0.4549;
  if (freedom < 2.0) return of_one;
  const double x = 1.0 - 2.0 / (9.0 * freedom);
  return x * x * x;
}

}  // namespace lampbeat::signal::cycle
