#pragma once

#include <complex>
#include <span>
#include <vector>

#include "arithmetic/phase.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::lines {

/// The clock of the fits: zero at the window's centre, about −1 at its start and +1 at its end.
struct FitClock {
  explicit FitClock(const Window& window);
  double centre_s = 0.0;  ///< from the window's first sample
  double half_s = 0.0;    ///< one unit of the clock
  double at(double time_s) const { return (time_s - centre_s) / half_s; }
  /// Hz of one radian per clock unit.
  double hz_per_rate() const { return 1.0 / (arithmetic::turn * half_s); }
};

/// Sums of a window's values against the waves exp(−i v u) on the fit clock u.
struct Projections {
  std::vector<std::complex<double>> plain;    ///< Σ x exp(−i v u), one per v
  std::vector<std::complex<double>> clocked;  ///< Σ x u exp(−i v u)
  double sum = 0.0;                           ///< Σ x
  double clocked_sum = 0.0;                   ///< Σ x u
};

/// Works through an evenly spaced window block by block, so that each wave is computed for one
/// block only and the rest is matrix products: O(samples · waves) with a small constant.
class BlockedWindow {
 public:
  explicit BlockedWindow(const Window& window);
  Projections project(std::span<const double> v) const;
  /// level + slope · u + Σ (cosine cos(v u) + sine sin(v u)) at every sample.
  std::vector<double> waves(std::span<const double> v, double level, double slope,
                            std::span<const double> cosine, std::span<const double> sine) const;

 private:
  std::size_t samples_ = 0;
  std::size_t blocks_ = 0;
  double half_ = 0.0;          // one clock unit, in samples
  std::vector<double> value_;  // padded with zeros to whole blocks
  double sum_ = 0.0;
  double clocked_sum_ = 0.0;
};

}  // namespace lampbeat::signal::lines
