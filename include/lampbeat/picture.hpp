#pragma once

#include <string>

#include "lampbeat/footage.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat {

/// The predicted frame (`least_favourable_rows`) as PNG bytes: left the wall as the camera would
/// record it, right the same wall under steady light, a neutral gap between. 960 × 540, 16-bit grey
/// in the sRGB transfer, so that on a screen the light of each row stands to the steady wall's as
/// predicted; the wall itself is at 40 % of white, and what exceeds white is shown white.
std::string predicted_frame_png(const Prediction& prediction);

/// A frame of a clip as PNG bytes, 8-bit grey; empty for an empty picture.
std::string clip_picture_png(const ClipPicture& picture);

}  // namespace lampbeat
