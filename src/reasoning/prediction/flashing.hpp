#pragma once

#include <optional>

#include "lampbeat/finding.hpp"
#include "lampbeat/prediction.hpp"

namespace lampbeat::reasoning::prediction {

/// The caution `photosensitive_caution` for frames that record this worst case, as `predict` gives
/// it. Empty where they would not flash hazardously on the screen.
std::optional<Finding> photosensitive_caution(const Recorded& worst, FrameRate fps,
                                              const Viewing& viewing);

}  // namespace lampbeat::reasoning::prediction
