#pragma once

#include <span>

#include "lampbeat/shutters.hpp"
#include "reasoning/judge/judge.hpp"

namespace lampbeat::reasoning::shutters {

/// What a frame rate asks of these lights: the figures of a 180° shutter, and how steady the lights
/// would have to be for it. `any_clean` is left to the caller, who knows the offers.
FrameRateOutlook outlook_for(std::span<const LightShare> lights, const judge::Judge& judge,
                             FrameRate fps);

/// Percent flicker of the light that contributes the strongest rhythm, that rhythm seen alone; 0
/// when no light has one.
double dominant_percent_flicker(std::span<const LightShare> lights);

}  // namespace lampbeat::reasoning::shutters
