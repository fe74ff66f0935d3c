#pragma once

#include <algorithm>
#include <functional>
#include <string>
#include <utility>

#include "lampbeat/capture.hpp"
#include "lampbeat/meter.hpp"
#include "support/signals.hpp"

namespace metering {

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

inline const lampbeat::Finding* finding(const lampbeat::Measurement& m, const std::string& code) {
  const auto found = std::find_if(m.warnings.begin(), m.warnings.end(),
                                  [&](const auto& f) { return f.code == code; });
  return found == m.warnings.end() ? nullptr : &*found;
}

inline bool warns(const lampbeat::Measurement& m, const std::string& code) {
  return finding(m, code) != nullptr;
}

}  // namespace metering
