#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "lampbeat/light.hpp"

// Practice captures: a described light, sampled by a described sensor. Everything here is the
// truth that measurements are compared with, so it is computed from the description alone.

namespace lampbeat {

/// A pulse-width dimmer: full on for `duty` of each period, dark for the rest. A period starts
/// (with the on part) at t = 0.
struct PwmDimmer {
  double hz = 0.0;
  double duty = 0.5;  ///< 0 < duty < 1
};

/// Ripple of a supply without enough storage behind its rectifier: a pedestal p below a rectified
/// sine, p + (1 − p)·|sin(2π · mains_hz · t)|, brought to a mean of 1. Its percent flicker is
/// 100·(1 − p)/(1 + p).
struct RectifiedRipple {
  double mains_hz = 50.0;
  double percent_flicker = 20.0;  ///< 0 ... 100
};

/// A described light: its rhythms, optionally with rectified-mains ripple, optionally chopped by a
/// dimmer: light(t) = (1 + Σ components + (ripple − 1)) · gate / duty, so the mean stays 1 where
/// the dimmer is unrelated to the rest. The base's own name, noise and findings play no part.
struct LightRecipe {
  Light base;  ///< components and mains
  std::optional<RectifiedRipple> ripple;
  std::optional<PwmDimmer> pwm;
  /// The light relative to its mean at an instant: a point sample, edges included.
  double at(double t_s) const;
  /// Exact mean of the light over [from_s, from_s + length_s], by the antiderivative of each part
  /// over each on-interval of the dimmer: what a camera row collects. `length_s` > 0.
  double mean_over(double from_s, double length_s) const;
  /// No instant is brighter than this: every component at its crest at once.
  double highest_possible() const;
};

/// How the practice sensor samples it.
struct SensorRecipe {
  double rate_hz = 20000.0;
  double seconds = 3.0;
  double noise_percent = 0.0;   ///< standard deviation of white Gaussian noise, % of the mean
  double level = 0.25;          ///< mean level in sample units (full scale 1)
  double dark = 0.0;            ///< reading without light
  double jitter_percent = 0.0;  ///< of the sample interval, uniform ±, below 50 so times keep order
  int bits = 0;                 ///< converter resolution; 0: not quantised
  bool bipolar = false;         ///< the converter spans -1 ... 1 (sound cards) and not 0 ... 1
  bool covered = false;         ///< no light reaches the sensor: dark reading and noise only
  double coupling_corner_hz = 0.0;  ///< > 0: AC-coupled, first-order high-pass, settled at t = 0
  std::uint64_t seed = 1;
};

/// How many samples the recipe makes: rate · seconds, rounded.
std::uint64_t sample_count(const SensorRecipe& sensor);

/// Produces the samples of a practice capture in blocks: calls `sink(time_s, value)` per block, in
/// memory independent of the length. The same recipe gives the same samples everywhere.
/// `time_s` are the instants of sampling, jitter included.
/// Throws UsageError for a recipe out of range, for jitter together with AC coupling (sound cards
/// have a steady clock), and when the described light would go below zero at a sample.
void synthesise(const LightRecipe& light, const SensorRecipe& sensor,
                const std::function<void(const std::vector<double>& time_s,
                                         const std::vector<double>& value)>& sink);

}  // namespace lampbeat
