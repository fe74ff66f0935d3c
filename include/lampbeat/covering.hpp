#pragma once

#include <optional>
#include <string>

#include "lampbeat/capture.hpp"

namespace lampbeat {

/// What covering and uncovering the sensor tells of a recording that lost its mean: before the
/// coupling pulls it down, the step from darkness to the light is the mean.
struct Covering {
  int steps = 0;               ///< of either direction
  double mean_level = 0.0;     ///< sample units, > 0
  double mean_level_sd = 0.0;  ///< by how the steps scatter and fit, at least 1 % of it
  double coupling_corner_hz = 0.0;
  bool upside_down = false;  ///< the light reads lower than darkness
  double from_s = 0.0;       ///< the longest stretch in the light, clear of every step
  double to_s = 0.0;
  /// For people, why the steps give no mean after all: "they disagree, from 0.2 to 0.4". Then only
  /// `steps` counts.
  std::string why_not;
};

/// Looks through a capture, to its end, for stretches in which a light that beats at `light_hz` is
/// covered. `rate_hz` samples a second, on the average. Empty where there are none, or no more than
/// one sample in half a cycle.
///
/// With y what an AC coupling of the corner frequency f leaves of the light L, y + 2πf ∫y = L but
/// for a constant: averaged over whole cycles, L is a step, however slowly a hand moves, and f and
/// the height of the step are fitted together.
///
/// Throws InputError from the source.
std::optional<Covering> covering(CaptureSource& source, double light_hz, double rate_hz);

}  // namespace lampbeat
