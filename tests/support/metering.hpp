#pragma once

#include <functional>
#include <utility>

#include "lampbeat/capture.hpp"
#include "lampbeat/meter.hpp"
#include "support/findings.hpp"
#include "support/signals.hpp"

namespace metering {

using lampbeat::test::finding;
using lampbeat::test::warns;

/// A recording of `light` over time, with white noise.
inline signals::Samples recording(double rate_hz, double duration_s,
                                  const std::function<double(double)>& light, double noise_sd = 0.0,
                                  unsigned seed = 1) {
  signals::Samples s = signals::even_times(rate_hz, duration_s);
  signals::fill(s, light);
  if (noise_sd > 0.0) signals::add_noise(s, noise_sd, seed);
  return s;
}

inline lampbeat::Measurement measured(const signals::Samples& s,
                                      const lampbeat::MeasurementSettings& settings = {}) {
  const double rate_hz = s.time_s.empty() ? 1.0 / s.interval_s : 0.0;
  const auto source = lampbeat::capture_from_samples("a light", s.value, rate_hz, s.time_s);
  return lampbeat::measure(*source, settings);
}

}  // namespace metering
