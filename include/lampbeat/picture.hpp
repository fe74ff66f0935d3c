#pragma once

#include <string>
#include <vector>

#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// What each row of one frame records of a plain wall, relative to the same wall in steady light,
/// at the least favourable start of the frame and alignment of the lights: the frame whose contrast
/// is the prediction's nominal band_percent. With a global shutter all rows are equal, and the
/// frame is the darkest one. First row first, prediction.shot.rows values, >= 0.
std::vector<double> least_favourable_rows(const Prediction& prediction);

/// The predicted frame as PNG bytes: left the wall as the camera would record it, right the same
/// wall under steady light, a neutral gap between. 960 × 540, 16-bit grey in the sRGB transfer, so
/// that on a screen the light of each row stands to the steady wall's as predicted; the wall itself
/// is at 40 % of white, and what exceeds white is shown white.
std::string predicted_frame_png(const Prediction& prediction);

}  // namespace lampbeat
