#pragma once

#include <complex>

#include "lampbeat/light.hpp"

// What one row of the sensor collects while it is exposed: the light averaged over the exposure.
// Averaging a cosine of frequency f over a time T scales it by sin(πfT)/(πfT), so an exposure of
// whole cycles leaves nothing of it (standard sampling theory; tested against numeric integration).

namespace lampbeat {

/// sin(πx)/(πx), 1 at x = 0; exactly 0 at the other whole numbers.
double sinc(double x);

/// What is left of a rhythm of `hz` after averaging over `exposure_s`: sinc(hz · exposure_s),
/// signed (between −0.217 and 1).
double exposure_gain(double hz, double exposure_s);

/// Mean of the light from `start_s` to `start_s + exposure_s`, relative to the light's mean: what a
/// row whose exposure starts then records. `exposure_s` > 0.
double row_exposure(const Light& light, double start_s, double exposure_s);

/// What is left of a rhythm of `hz`, already averaged over each row's exposure, in the mean of all
/// rows of a frame; its argument is the delay against the first row. Rows start evenly,
/// readout_s / rows apart. 1 for a global shutter. `rows` >= 1.
std::complex<double> frame_mean_gain(double hz, double readout_s, int rows);

}  // namespace lampbeat
