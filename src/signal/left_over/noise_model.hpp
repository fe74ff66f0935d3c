#pragma once

#include <cmath>
#include <span>

#include "signal/spectrum/band_powers.hpp"

namespace lampbeat::signal::left_over {

/// By how many standard deviations bands may differ by chance: one chance in two million, since of
/// some 500 places looked at one in a thousand accounts may be wrong.
inline constexpr double chance_sds = 4.7;
/// By how much of itself white noise may: none is quite white, no periodogram quite flat.
inline constexpr double white_play = 1.25;

inline double width_hz(const spectrum::Band& band) { return band.to_hz - band.from_hz; }
/// Where a band stands for, on a logarithmic scale.
inline double centre_hz(const spectrum::Band& band) { return std::sqrt(band.from_hz * band.to_hz); }

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
  std::span<const spectrum::Band> dark;  ///< of the NoiseKnowledge it was fitted with

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

}  // namespace lampbeat::signal::left_over
