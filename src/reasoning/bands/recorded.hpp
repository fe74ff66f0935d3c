#pragma once

#include <span>

#include "lampbeat/banding.hpp"
#include "lampbeat/prediction.hpp"
#include "reasoning/bands/eye.hpp"
#include "reasoning/mixture/series.hpp"

// How what an exposure leaves of a light's rhythms looks in the picture.

namespace lampbeat::reasoning::bands {

/// Michelson contrasts, or bounds of them.
struct Contrasts {
  double among_rows = 0.0;    ///< within one frame
  double among_frames = 0.0;  ///< of the frame means of a clip
};

/// The figures for `rows` (the rhythms after the exposure) and `frames` (those after the frame
/// mean too) whose contrasts are known. No figure falls when a contrast rises, so that contrasts no
/// smaller than the true ones give bounds. `mains_hz` stays empty.
Recorded recorded(std::span<const mixture::Series> rows, std::span<const mixture::Series> frames,
                  Contrasts contrasts, const Shot& shot, const Eye& eye);

/// One figure of them: the visibility of the bands, and of the pulsing.
double seen_bands(double contrast, std::span<const mixture::Series> rows, const Shot& shot,
                  const Eye& eye);
double seen_pulsing(double contrast, std::span<const mixture::Series> frames, const Shot& shot,
                    const Eye& eye);

/// The visibility of this contrast among `rows` as if it were all in their strongest line, of which
/// there is one at least: no more than that of `recorded`.
double visible_at_least(double contrast, std::span<const mixture::Series> rows, const Shot& shot,
                        const Eye& eye);

/// The visibility of the bands, and of the pulsing, that one line of this contrast makes by itself:
/// those of `recorded`, but for what the camera's noise hides.
double bands_of_line(double contrast, double hz, const Shot& shot, const Eye& eye);
double pulsing_of_line(double contrast, double hz, const Shot& shot, const Eye& eye);
/// What is left of it in the noise where the whole pattern has this contrast.
double through_noise(double visibility, double contrast, const Shot& shot, const Eye& eye);

/// How much of a pulsing fits into a clip: its contrast there, relative to its own.
double share_in_clip(double hz, FrameRate fps);

/// Both at once.
double visible_bands(double contrast, double hz, const Shot& shot, const Eye& eye);
double visible_pulsing(double contrast, double hz, const Shot& shot, const Eye& eye);

}  // namespace lampbeat::reasoning::bands
