#pragma once

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"

namespace lampbeat::signal::tones {

/// A frequency's standard uncertainty together with that of a clock that may be off by `ppm` parts
/// in a million, a bound that is taken as a rectangular distribution (GUM 4.3.7: its standard
/// uncertainty is the half-width over the root of 3).
double with_clock(double hz_sd, double hz, double ppm);

/// Adds what is not known of the sampling rate to the uncertainty of every frequency: the bound of
/// the recorder's own clock and that of times rebuilt from it, together.
void add_clock_uncertainty(Measurement& measurement, const CaptureFormat& format,
                           const SampleClock& rebuilt);

}  // namespace lampbeat::signal::tones
