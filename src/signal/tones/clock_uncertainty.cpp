#include "signal/tones/clock_uncertainty.hpp"

#include <cmath>

namespace lampbeat::signal::tones {

void add_clock_uncertainty(Measurement& measurement, const SampleClock& clock) {
  if (!(clock.rate_bound > 0.0)) return;
  const double relative = clock.rate_bound / std::sqrt(3.0);
  if (measurement.dominant_hz_sd) {
    measurement.dominant_hz_sd =
        std::hypot(*measurement.dominant_hz_sd, relative * *measurement.dominant_hz);
  }
  for (MeasuredComponent& c : measurement.components)
    c.hz_sd = std::hypot(c.hz_sd, relative * c.hz);
}

}  // namespace lampbeat::signal::tones
