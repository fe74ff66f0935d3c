#pragma once

#include "footage/stretches/stretch.hpp"

namespace lampbeat::footage::stretches {

/// A pattern's own harmonics and noise may leave this share of it; more means frames out of step.
constexpr double out_of_step = 0.1;
/// With fewer, a single frame tells depth from shading badly.
constexpr double few_bands = 0.75;

/// The estimate without waves of few bands that might as well be something else: they become
/// scenery.
StretchEstimate without_vague(StretchEstimate e);

}  // namespace lampbeat::footage::stretches
