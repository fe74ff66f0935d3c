#pragma once

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/room.hpp"

namespace lampbeat::reasoning::prediction {

/// The prediction for one exposure at one frame rate. Throws UsageError when it does not fit.
Prediction predicted(const judge::Room& room, const judge::Judge& judge, double exposure_s,
                     FrameRate fps);

}  // namespace lampbeat::reasoning::prediction
