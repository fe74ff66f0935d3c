#pragma once

#include <cstddef>
#include <vector>

namespace lampbeat::footage::clips {

/// One number per frame and row of a stretch of clip, frame after frame.
struct Plane {
  std::size_t frames = 0;
  std::size_t rows = 0;
  std::vector<double> value;

  Plane() = default;
  Plane(std::size_t frame_count, std::size_t row_count, double fill = 0.0)
      : frames(frame_count), rows(row_count), value(frame_count * row_count, fill) {}
  double& at(std::size_t frame, std::size_t row) { return value[frame * rows + row]; }
  double at(std::size_t frame, std::size_t row) const { return value[frame * rows + row]; }
};

/// Where the rows of a plane lie in the picture: several picture rows may be averaged into one.
struct RowScale {
  int picture_rows = 0;
  int averaged = 1;
  /// Place of a plane row, 0 at the first and nearly 1 at the last picture row.
  double place(std::size_t row) const {
    return (static_cast<double>(row) * averaged + 0.5 * (averaged - 1)) / picture_rows;
  }
  /// How much the averaging leaves of a pattern of so many bands over the picture.
  double gain(double bands) const;
};

}  // namespace lampbeat::footage::clips
