#pragma once

#include "lampbeat/shot.hpp"

namespace lampbeat::reasoning::camera {

/// Whether an exposure is no longer than a frame. One of a whole frame may come out a rounding
/// error too long (1001/24000 typed in decimals).
inline bool fits(double exposure_s, FrameRate fps) {
  constexpr double rounding = 1e-9;
  return exposure_s <= fps.frame_s() * (1.0 + rounding);
}

}  // namespace lampbeat::reasoning::camera
