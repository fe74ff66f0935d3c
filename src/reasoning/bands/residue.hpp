#pragma once

#include <span>
#include <vector>

#include "lampbeat/shot.hpp"
#include "reasoning/bands/contrast.hpp"
#include "reasoning/mixture/rhythm.hpp"

namespace lampbeat::reasoning {

/// The rhythms as the rows record them: each harmonic scaled by what the exposure leaves of it,
/// the negligible ones dropped.
std::vector<Rhythm> after_exposure(std::span<const Rhythm> rhythms, double exposure_s);

/// The rhythms of the row exposures as the frame means record them.
std::vector<Rhythm> after_frame_mean(std::span<const Rhythm> rows, const Shot& shot);

/// Michelson contrast of `rows` within a frame, least favourable start.
double contrast_in_frame(std::span<const Rhythm> rows, const Shot& shot, Effort effort);

/// Michelson contrast of `frames` over a clip, least favourable start.
double contrast_in_clip(std::span<const Rhythm> frames, FrameRate fps, Effort effort);

}  // namespace lampbeat::reasoning
