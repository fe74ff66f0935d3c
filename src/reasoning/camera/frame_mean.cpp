#include "reasoning/camera/frame_mean.hpp"

#include <cmath>

#include "reasoning/camera/half_turns.hpp"

namespace lampbeat::reasoning::camera {

std::optional<double> frame_mean_size(double hz, double readout_s, int rows) {
  const double cycles_per_row = hz * readout_s / rows;
  const double one_row = sin_pi(cycles_per_row);
  // A whole number of cycles from row to row: every row sees the same phase.
  if (std::abs(one_row) < 1e-12) return std::nullopt;
  return sin_pi(cycles_per_row * rows) / (rows * one_row);
}

}  // namespace lampbeat::reasoning::camera
