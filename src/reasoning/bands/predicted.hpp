#pragma once

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/room.hpp"

namespace lampbeat::reasoning {

/// The prediction for one exposure at one frame rate. Throws UsageError when it does not fit.
Prediction predicted(const Room& room, const Judge& judge, double exposure_s, FrameRate fps);

}  // namespace lampbeat::reasoning
