#pragma once

#include <span>
#include <vector>

#include "lampbeat/shot.hpp"
#include "reasoning/bands/contrast.hpp"
#include "reasoning/mixture/series.hpp"

namespace lampbeat::reasoning::bands {

/// The rhythms as the rows record them: each harmonic scaled by what the exposure leaves of it,
/// the negligible ones dropped.
std::vector<mixture::Series> after_exposure(std::span<const mixture::Series> rhythms,
                                            double exposure_s);

/// The same of one rhythm, added to those of others if anything is left.
void add_exposed(std::vector<mixture::Series>& rows, double hz,
                 std::span<const mixture::Harmonic> harmonics, bool any_waveform,
                 double exposure_s);

/// The rhythms of the row exposures as the frame means record them.
std::vector<mixture::Series> after_frame_mean(std::span<const mixture::Series> rows,
                                              const Shot& shot);

/// The widest pair of so many samples, `spacing_s` apart, least favourable start. Of very many a
/// scattered choice of lags is tried.
SamplePair widest_of_samples(std::span<const mixture::Series> rhythms, int samples,
                             double spacing_s, Effort effort);

/// The widest pair of `rows` within a frame, least favourable start.
SamplePair widest_in_frame(std::span<const mixture::Series> rows, const Shot& shot, Effort effort);

/// The widest pair of `frames` over a clip of `clip_s`, least favourable start.
SamplePair widest_in_clip(std::span<const mixture::Series> frames, FrameRate fps, Effort effort);

}  // namespace lampbeat::reasoning::bands
