#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/light.hpp"
#include "lampbeat/shot.hpp"

namespace lampbeat {

/// A pulse-width dimmer: full on for `duty` of each period, dark for the rest.
struct PwmDimmer {
  double hz = 0.0;
  double duty = 0.5;  ///< 0 < duty < 1
};

/// A described light: its rhythms, optionally rectified-mains shaped, optionally chopped by a
/// dimmer. Multiplicative: light = (1 + Σ components) · pwm / duty, so the mean stays 1 where they
/// are unrelated.
struct LightRecipe {
  Light base;  ///< components and mains
  std::optional<PwmDimmer> pwm;
  /// The light relative to its mean at an instant: a point sample, edges included.
  double at(double t_s) const;
  /// Exact mean of the light over [from_s, from_s + length_s]; the brute-force truth.
  double mean_over(double from_s, double length_s) const;
};

/// How the practice sensor samples it.
struct SensorRecipe {
  double rate_hz = 20000.0;
  double seconds = 3.0;
  double noise_percent = 0.0;       ///< standard deviation of white noise, % of the mean
  double level = 0.25;              ///< mean level in sample units (full scale 1)
  double dark = 0.0;                ///< reading without light
  double jitter_percent = 0.0;      ///< of the sample interval, uniform ±
  int bits = 0;                     ///< 0: not quantised
  double coupling_corner_hz = 0.0;  ///< > 0: AC-coupled
  std::uint64_t seed = 1;
};

/// Produces the samples of a practice capture in blocks: call `sink(time_s, value)` per block.
void synthesise(const LightRecipe& light, const SensorRecipe& sensor,
                const std::function<void(const std::vector<double>& time_s,
                                         const std::vector<double>& value)>& sink);

}  // namespace lampbeat
