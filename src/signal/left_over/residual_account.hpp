#pragma once

#include <span>
#include <vector>

#include "signal/spectrum/band_powers.hpp"

namespace lampbeat::signal {

/// What is known beforehand about the noise that the sensor and recorder add.
struct NoiseKnowledge {
  double level = 0.0;         ///< of the light, sample units
  double half_rate_hz = 0.0;  ///< half the sampling rate
  double step = 0.0;          ///< of the converter, sample units; 0 when none shows
  /// Below this, the noise may have been taken out with the drift.
  double trusted_from_hz = 0.0;
  std::span<const Band> dark;  ///< of a recording with the sensor covered; empty when there is none
};

/// Noise that is even up to a corner and falls beyond: a sensor's bandwidth, a recorder's filter.
struct RolledNoise {
  double density = 0.0;  ///< far below the corner, sample units squared per hertz
  double corner_hz = 1.0;
  int order = 1;  ///< of the filter

  double at(double hz) const;
  double power() const;
};

/// White noise with a part that grows towards slow frequencies and one that ends at a corner, or
/// what the covered sensor showed.
struct NoiseModel {
  double white = 0.0;  ///< density, sample units squared per hertz
  double pink = 0.0;   ///< density at 1 Hz of the part that falls as 1/f^slope
  double slope = 1.0;
  RolledNoise rolled;
  std::span<const Band> dark;  ///< of the account's own NoiseKnowledge

  double dark_density(double hz) const;
  double pink_density(double hz) const;
  double density(double hz) const {
    return white + pink_density(hz) + rolled.at(hz) + dark_density(hz);
  }
  /// What it may come to with everything allowed for but chance.
  double most(double hz) const;
  /// All of it between two frequencies, sample units squared.
  double power(double from_hz, double to_hz) const;
};

/// Power that neither a rhythm nor the sensor's noise explains.
struct Surplus {
  double from_hz = 0.0;
  double to_hz = 0.0;
  double power = 0.0;  ///< sample units squared
};

/// What is left beside the rhythms, divided.
struct ResidualAccount {
  NoiseModel noise;
  std::vector<Surplus> surplus;  ///< slowest first
};

/// Divides what is left beside the rhythms into sensor noise and light. Sensor noise
/// is what the covered sensor showed; without such a recording it is white at the level of the
/// quietest bands, with a part falling as 1/f^α (0.7 <= α <= 1.4) that stays below 1.5 % of the
/// level or below the white part, and one that is even from the slowest band to a corner above 50
/// Hz and falls beyond it as a filter makes it: below 1 % of the level, 3 % where the corner lies
/// above a tenth of half the rate, since a lamp's own unrest is hardly so quick. What stands above
/// that by more than chance (one false alarm in a thousand accounts, the readings of a periodogram
/// being exponentially distributed) and by more than the model's own play is light.
ResidualAccount residual_account(std::span<const Band> bands, const NoiseKnowledge& known);

}  // namespace lampbeat::signal
