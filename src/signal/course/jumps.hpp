#pragma once

#include <optional>

#include "signal/course/course.hpp"

namespace lampbeat::signal::course {

/// A change of level too sudden for a drift.
struct Jump {
  double size = 0.0;  ///< sample units
  double at_s = 0.0;  ///< from the capture's first sample
};

/// The largest sudden change in a light's course: at any scale from the course's own blocks to a
/// thirty-second of the whole, where the means of two stretches differ by more than eight robust
/// standard deviations of all such differences, and by more than half a percent of the `level` (one
/// percent over a tenth of a second and more, as lamps warm up). Noise, white or falling as
/// 1/f, has no such differences, a drift has them everywhere alike.
std::optional<Jump> largest_jump(const Course::Part& part, double level);

}  // namespace lampbeat::signal::course
