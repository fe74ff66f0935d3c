#pragma once

#include <vector>

#include "footage/waves/wave.hpp"

namespace lampbeat::footage::waves {

// By the search that predicts contrasts (reasoning/bands): what is measured and what is predicted
// are one quantity.

/// Michelson contrast of the waves among the rows of one frame, for the least favourable start of
/// the frame; several waves slide against one another, so at their least favourable alignment.
double band_contrast(const std::vector<Wave>& waves, int picture_rows);

/// Michelson contrast of whole frames over at least a second and a full beat (a minute at most),
/// for the least favourable start.
double pulse_contrast(const std::vector<Wave>& waves, double fps);

}  // namespace lampbeat::footage::waves
