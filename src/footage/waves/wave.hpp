#pragma once

#include <complex>
#include <cstddef>
#include <vector>

#include "footage/clips/plane.hpp"

namespace lampbeat::footage::waves {

/// One harmonic of a wave: amplitude relative to the mean, phase at the stretch's first frame and
/// the picture's first row.
struct Harmonic {
  int order = 1;
  std::complex<double> amplitude;
  double sd = 0.0;  ///< standard uncertainty of |amplitude|
  /// The same in the mean of the whole frame.
  std::complex<double> frame_amplitude;
};

/// A pattern of bands running over the picture,
///   Σ Re{ amplitude · exp(2πi · order · (roll · frame + bands · place)) }.
/// One rhythm of the light makes one wave, its harmonics tied to it.
struct Wave {
  double roll = 0.0;   ///< cycles per frame, −½ ... ½
  double bands = 0.0;  ///< cycles over the picture height, >= 0
  double roll_sd = 0.0;
  double bands_sd = 0.0;
  std::vector<Harmonic> harmonics;  ///< the fundamental first

  /// The strongest harmonic.
  const Harmonic& strongest() const;
};

/// What the waves add to each frame and row of a plane, relative to the mean.
clips::Plane pattern_of(const std::vector<Wave>& waves, std::size_t frames, std::size_t rows,
                        const clips::RowScale& scale);

/// Brings roll into [−½, ½) and bands to >= 0 without changing the pattern.
void make_customary(Wave& wave);

}  // namespace lampbeat::footage::waves
