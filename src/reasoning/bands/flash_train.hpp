#pragma once

#include <span>

#include "lampbeat/shot.hpp"
#include "reasoning/bands/effort.hpp"
#include "reasoning/mixture/series.hpp"
#include "reasoning/mixture/swing.hpp"

// A light known by its frequency alone may be a train of flashes of no length, of which no number
// of harmonics is all there is. What an exposure holds of it is counted: ⌊x⌋ or ⌈x⌉ flashes in x
// cycles, while the mean is x of them.

namespace lampbeat::reasoning::bands {

/// The part of the mixture such a light is: each harmonic of a flash of no length has twice its
/// mean.
double share_of_flashes(std::span<const mixture::Harmonic> harmonics);

/// What exposures of so many cycles (> 0) hold above and below the mean, for a light that is all of
/// the mixture. Within rounding of a whole number of cycles: nothing.
mixture::Swing swing_of_flashes(double cycles);

/// The most of that over all exposures between these numbers of cycles (0 < from <= to): greatest
/// up, greatest down, not necessarily of one exposure.
mixture::Swing widest_swing_of_flashes(double from_cycles, double to_cycles);

/// What the mean of a frame may hold of flashes beyond the harmonics up to `highest_order`,
/// relative to the mean, in either direction. `of_rows`: their swing among rows; `cycles`: how many
/// the readout takes. The harmonics left out come to no more than Σ 2/(π²k²·x·y) over k >
/// highest_order after an exposure of x cycles and a readout of y; and as each row holds whole
/// flashes, a mean of N rows steps where one of all moments would slide, 2(y + 1) times by half a
/// row's difference.
double beyond_harmonics(mixture::Swing of_rows, double cycles, int rows, int highest_order);

/// Contrast of the row exposures within one frame: that of `widest_in_frame`, where any light's
/// waveform is known, or no less than of any waveforms the lights could have.
double contrast_in_frame(std::span<const mixture::Series> rows, const Shot& shot, Effort effort);

/// The same of the frame means over a clip. `frames`: what the frame means leave of `rows`.
double contrast_in_clip(std::span<const mixture::Series> rows,
                        std::span<const mixture::Series> frames, const Shot& shot, Effort effort);

}  // namespace lampbeat::reasoning::bands
