#pragma once

#include <complex>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "lampbeat/window.hpp"

namespace lampbeat::signal::lines {

/// Sums of a window's values against the waves exp(−i v u) on the fit clock u.
struct Projections {
  std::vector<std::complex<double>> plain;    ///< Σ x exp(−i v u), one per v
  std::vector<std::complex<double>> clocked;  ///< Σ x u exp(−i v u)
  double sum = 0.0;                           ///< Σ x
  double clocked_sum = 0.0;                   ///< Σ x u
};

/// An evenly spaced window's transform, known between its bins as well: one fast transform of the
/// window, and a few dozen of its lines for every frequency asked for. Gaussian gridding, about
/// twelve digits of the window's largest sum (Greengard & Lee, SIAM Review 46(3), 2004, type 2).
class WindowTransform {
 public:
  /// At least two samples.
  explicit WindowTransform(const Window& window);
  /// `v` in radians per unit of the fit clock, any size, also where it folds.
  Projections project(std::span<const double> v) const;

 private:
  std::complex<double> line(long long at) const;
  std::complex<double> turned_to_centre(long long line) const;

  std::size_t samples_ = 0;
  std::size_t grid_ = 0;
  double half_ = 0.0;   // one clock unit, in samples
  double width_ = 0.0;  // τ of the paper, samples⁻²
  double mean_ = 0.0;
  double clocked_sum_ = 0.0;
  std::vector<std::complex<double>> line_;  // from zero to half the grid
};

/// A window that is fitted as often as wanted and transformed once.
struct FittableWindow {
  /// Implicit: a window that is fitted once needs no more.
  FittableWindow(const Window& given) : window(given) {
    if (window.even()) transform.emplace(window);
  }
  Window window;
  std::optional<WindowTransform> transform;  ///< of evenly spaced samples
};

}  // namespace lampbeat::signal::lines
