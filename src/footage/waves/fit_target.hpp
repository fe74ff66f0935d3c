#pragma once

#include <vector>

#include "footage/clips/plane.hpp"

namespace lampbeat::footage::waves {

/// What waves are fitted to, by least squares.
struct FitTarget {
  /// Relative to 1, with the mean over time of each row and the mean over rows of each frame taken
  /// out: what the scene and the exposure automatic cannot imitate.
  clips::Plane rows;
  double row_noise_variance = 1e-6;
  clips::RowScale scale;
  /// The frame means relative to 1, with everything slower than `slow_modes` half-cycles over the
  /// stretch taken out; empty when slow drift cannot be told from the waves.
  std::vector<double> frame_means;
  double frame_noise_variance = 1e-6;
  std::size_t slow_modes = 1;
};

}  // namespace lampbeat::footage::waves
