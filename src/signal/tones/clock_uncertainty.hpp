#pragma once

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"

namespace lampbeat::signal::tones {

/// Adds what is not known of the sampling rate to the uncertainty of every frequency: the bound of
/// the rebuilt clock, taken as a rectangular distribution (GUM 4.3.7: its standard uncertainty is
/// the half-width over the root of 3).
void add_clock_uncertainty(Measurement& measurement, const SampleClock& clock);

}  // namespace lampbeat::signal::tones
