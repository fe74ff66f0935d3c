#pragma once

#include <optional>

namespace lampbeat::reasoning::camera {

/// The size of `frame_mean_gain` with its sign, at a fraction of the cost; empty where every row
/// sees the same phase.
std::optional<double> frame_mean_size(double hz, double readout_s, int rows);

/// What is left of a line in the mean of a frame's rows: |frame_mean_gain|.
inline double left_in_frame_mean(double hz, double readout_s, int rows) {
  const double size = frame_mean_size(hz, readout_s, rows).value_or(1.0);
  return size < 0.0 ? -size : size;
}

}  // namespace lampbeat::reasoning::camera
