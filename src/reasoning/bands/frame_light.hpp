#pragma once

#include <span>

#include "lampbeat/prediction.hpp"
#include "reasoning/bands/contrast.hpp"

namespace lampbeat::reasoning::bands {

/// The frame in which this pair of rows was found, the pair in the middle of the picture. Where no
/// two rows differ (a global shutter) every frame is of one level, and it is the darkest one.
FrameLight frame_light(std::span<const mixture::Series> rows, const SamplePair& widest,
                       const Shot& shot);

}  // namespace lampbeat::reasoning::bands
