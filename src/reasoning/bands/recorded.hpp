#pragma once

#include <span>

#include "lampbeat/banding.hpp"
#include "lampbeat/prediction.hpp"
#include "reasoning/bands/contrast.hpp"
#include "reasoning/mixture/rhythm.hpp"

// How what an exposure leaves of a light's rhythms looks in the picture.

namespace lampbeat::reasoning {

/// Clips above `fastest_screen_fps` are shown at this rate.
inline constexpr double slow_motion_fps = 30.0;

/// How much slower than in the room things happen on the screen; 1 for a clip shown as shot.
double slowing(FrameRate fps, const Viewing& viewing);

/// Michelson contrasts, or bounds of them.
struct Contrasts {
  double among_rows = 0.0;    ///< within one frame
  double among_frames = 0.0;  ///< of the frame means of a clip
};

/// The figures for `rows` (the rhythms after the exposure) and `frames` (those after the frame
/// mean too) whose contrasts are known. No figure falls when a contrast rises, so that contrasts no
/// smaller than the true ones give bounds. `mains_hz` stays 0.
Recorded recorded(std::span<const Rhythm> rows, std::span<const Rhythm> frames, Contrasts contrasts,
                  const Shot& shot, const Viewing& viewing);

/// The same with the contrasts searched for.
Recorded recorded(std::span<const Rhythm> rows, const Shot& shot, const Viewing& viewing,
                  Effort effort);

}  // namespace lampbeat::reasoning
