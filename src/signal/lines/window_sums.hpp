#pragma once

#include <cstddef>

namespace lampbeat::signal::lines {

/// Sums over the samples of an evenly spaced window whose clock u runs from about −1 to +1 and is
/// zero at the centre, so that all products of a cosine with a sine vanish.
struct WindowSums {
  double cosine = 0.0;         ///< Σ cos(v u)
  double clock_sine = 0.0;     ///< Σ u sin(v u)
  double clock2_cosine = 0.0;  ///< Σ u² cos(v u)
};

/// Closed forms (the Dirichlet kernel and its derivatives) for `n` samples at
/// u_i = (i − (n−1)/2) / (n/2). `v` in radians per unit of u; any size, also where it folds.
WindowSums window_sums(std::size_t n, double v);

}  // namespace lampbeat::signal::lines
