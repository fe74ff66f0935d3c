#pragma once

#include <span>
#include <vector>

#include "signal/band_powers.hpp"

namespace lampbeat::signal {

/// What is known beforehand about the noise that the sensor and recorder add.
struct NoiseKnowledge {
  double level = 0.0;         ///< of the light, sample units
  double half_rate_hz = 0.0;  ///< half the sampling rate
  /// Below this, the noise may have been taken out with the drift.
  double trusted_from_hz = 0.0;
  std::span<const Band> dark;  ///< of a recording with the sensor covered; empty when there is none
};

/// Power that neither a rhythm nor the sensor's noise explains.
struct Surplus {
  double from_hz = 0.0;
  double to_hz = 0.0;
  double power = 0.0;  ///< sample units squared
};

/// Divides what is left beside the rhythms into sensor noise and light, slowest first. Sensor noise
/// is what the covered sensor showed; without such a recording it is white at the level of the
/// quietest bands, with a part falling as 1/f^α (0.7 <= α <= 1.4) that stays below 1.5 % of the
/// level or below the white part. What stands above that by more than chance (one false alarm in a
/// thousand accounts, the readings of a periodogram being exponentially distributed) and by more
/// than the model's own play is light.
std::vector<Surplus> unexplained_power(std::span<const Band> bands, const NoiseKnowledge& known);

}  // namespace lampbeat::signal
