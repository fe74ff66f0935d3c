#pragma once

#include <span>
#include <vector>

#include "lampbeat/light.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shot.hpp"

// What the exposure leaves of a mixture of lights, and how it lies over the rows and frames.
// Everything is linear light relative to the mixture's mean; contrast is Michelson's,
// (max−min)/(max+min), 0 ... 1.
//
// Phases: parts of one light that share a rhythm keep their phases to each other (one capture saw
// them together). Unrelated rhythms, and different lights, slide against one another, so the
// figures are for their least favourable alignment.

namespace lampbeat {

/// Lines weaker than this, relative to the mean, are treated as gone: they are ten thousand times
/// below anything visible.
inline constexpr double negligible_modulation = 1e-6;

/// A rhythm that survives the exposure.
struct RemainingRhythm {
  double hz = 0.0;
  double amplitude = 0.0;  ///< of the row exposure, fraction of the mean; equal frequencies add up
};

/// What remains after averaging over the exposure, strongest first; empty when nothing does.
std::vector<RemainingRhythm> remaining_rhythms(std::span<const LightShare> lights,
                                               double exposure_s);

/// The frequency minus the nearest multiple of the frame rate: how it seems to run when seen once
/// a frame. Within ± half the frame rate; 0 when it stands still.
double alias_hz(double hz, FrameRate fps);

/// Bands over the picture height, signed: rows sample the light rows/readout times a second, and a
/// faster rhythm folds down as it does between frames. Positive: a later row sees a later part of
/// the cycle; negative: the pattern lies, and rolls, the other way round. 0 for a global shutter,
/// and for a rhythm at a whole multiple of the row rate.
double bands_down_the_picture(double hz, const Shot& shot);

/// Contrast of the row exposures within one frame, for the least favourable start of the frame.
/// 0 for a global shutter.
double band_contrast(std::span<const LightShare> lights, const Shot& shot);

/// What each row of one frame records of a plain wall, relative to the same wall in steady light,
/// at the least favourable start of the frame and alignment of the lights: the frame whose contrast
/// is the prediction's nominal band_percent, in the state of the lights that decides it. With a
/// global shutter all rows are equal, and the frame is the darkest one. First row first,
/// prediction.shot.rows values, >= 0.
std::vector<double> least_favourable_rows(const Prediction& prediction);

/// Clips are judged over this long: a beat slower than half a cycle in it is a drift, not a pulse.
inline constexpr double clip_s = 60.0;

/// Contrast of the frame means over the frames of a clip of `clip_s`, for its least favourable
/// start. Frames sample the light n/fps apart, exactly: a rhythm at a whole multiple of the frame
/// rate does not pulse at all.
double pulse_contrast(std::span<const LightShare> lights, const Shot& shot);

}  // namespace lampbeat
