#pragma once

#include <vector>

#include "footage/clips/plane.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage {

/// What waves are fitted to, by least squares.
struct FitTarget {
  /// Relative to 1, with the mean over time of each row and the mean over rows of each frame taken
  /// out: what the scene and the exposure automatic cannot imitate.
  Plane rows;
  double row_noise_variance = 1e-6;
  RowScale scale;
  /// The frame means relative to 1, with everything slower than `slow_modes` half-cycles over the
  /// stretch taken out; empty when slow drift cannot be told from the waves.
  std::vector<double> frame_means;
  double frame_noise_variance = 1e-6;
  std::size_t slow_modes = 1;
};

/// Takes the first `modes` cosine modes (the mean and slow drifts) out of a series.
void take_out_slow(std::vector<double>& series, std::size_t modes);

/// Improves waves from good starting values: rolls, bands and all amplitudes together
/// (Levenberg–Marquardt), with their standard uncertainties for the stated noise.
/// `moving` false keeps rolls and bands and solves the amplitudes only.
void refine(std::vector<Wave>& waves, const FitTarget& target, bool moving = true);

/// Tries rolls and bands around the wave's and keeps the best, for a single harmonic.
void scan_around(Wave& wave, const FitTarget& target);

}  // namespace lampbeat::footage
