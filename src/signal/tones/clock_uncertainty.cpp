#include "signal/tones/clock_uncertainty.hpp"

#include <cmath>

namespace lampbeat::signal::tones {
namespace {

constexpr double million = 1e6;

}  // namespace

double with_clock(double hz_sd, double hz, double ppm) {
  return std::hypot(hz_sd, hz * ppm / million / std::sqrt(3.0));
}

void add_clock_uncertainty(Measurement& measurement, const CaptureFormat& format,
                           const SampleClock& rebuilt) {
  measurement.clock_ppm = format.clock_ppm + million * rebuilt.rate_bound;
  const double ppm = measurement.clock_ppm;
  if (measurement.dominant_hz_sd) {
    measurement.dominant_hz_sd =
        with_clock(*measurement.dominant_hz_sd, *measurement.dominant_hz, ppm);
  }
  for (auto* list : {&measurement.components, &measurement.inferred_components}) {
    for (MeasuredComponent& c : *list) c.hz_sd = with_clock(c.hz_sd, c.hz, ppm);
  }
}

}  // namespace lampbeat::signal::tones
