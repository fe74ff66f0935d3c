#pragma once

#include <string>

#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// The predicted frame (`least_favourable_rows`) as PNG bytes: left the wall as the camera would
/// record it, right the same wall under steady light, a neutral gap between. 960 × 540, 16-bit grey
/// in the sRGB transfer, so that on a screen the light of each row stands to the steady wall's as
/// predicted; the wall itself is at 40 % of white, and what exceeds white is shown white.
std::string predicted_frame_png(const Prediction& prediction);

}  // namespace lampbeat
