#pragma once

#include "lampbeat/tones.hpp"

namespace lampbeat::signal::tones {

/// Whether two windows of one capture show the same rhythms, each as strong relative to its level
/// or, in a recording without one (AC-coupled), as it is.
/// What a fit leaves over may differ all the same: a clock that wanders, a lamp that warms up and
/// noise that comes and goes are no other light.
///
/// Harmonics above half of `rate_hz` are compared where they fold to, since the one window may have
/// recognised what the other took as it lay. Tones with fewer than five cycles in `window_s`, the
/// shorter window, are left to the course of the whole capture.
bool same_light(const ToneAnalysis& one, const ToneAnalysis& other, double rate_hz,
                double window_s);

/// Whether each rhythm of `lesser` is there in `one` too, at least as strong but for a tenth, give
/// or take the two hertz by which half a second errs: what a beat shows between its swings.
bool has_rhythms_of(const ToneAnalysis& one, const ToneAnalysis& lesser, double rate_hz);

}  // namespace lampbeat::signal::tones
