#pragma once

#include <memory>

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/judged_room.hpp"

namespace lampbeat::reasoning::prediction {

/// The prediction for one exposure at one frame rate. Throws UsageError when it does not fit.
Prediction predicted(std::shared_ptr<const judge::JudgedRoom> judged, double exposure_s,
                     FrameRate fps);

}  // namespace lampbeat::reasoning::prediction
