#pragma once

#include <vector>

#include "reasoning/judge/room.hpp"
#include "reasoning/judge/scene.hpp"

namespace lampbeat::reasoning::judge {

/// What the noise of each light's measurement could hide: a ripple of its `noise_percent`, alone,
/// following the mains (as most do), or near 100 Hz, the slowest common one, when the mains is not
/// known. One scene for each light and state with such noise.
///
/// It is no part of what is predicted, whose figures are those of the light that was seen. But a
/// shot in which it would not be clean is only as clean as the measurement was good: predict then
/// warns (`below_measured_noise`), and no light is called fit for a shutter that rests on it.
std::vector<Scene> unseen_scenes(const Room& room);

}  // namespace lampbeat::reasoning::judge
