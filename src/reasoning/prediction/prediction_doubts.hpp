#pragma once

#include "lampbeat/prediction.hpp"

namespace lampbeat::reasoning::prediction {

/// Adds what has to be known about the figures of a prediction, and what its lights carry.
/// `unseen_visibility`: of what the measurements could have missed (`unseen_scenes`).
void note_doubts(Prediction& prediction, double unseen_visibility);

}  // namespace lampbeat::reasoning::prediction
