#pragma once

#include <complex>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "lampbeat/dark_recording.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::spectrum {

/// Power density in one narrow band, averaged over everything that was looked at.
using Band = NoiseBand;

/// A stretch of frequencies that is left out.
struct Gap {
  double from_hz = 0.0;
  double to_hz = 0.0;
};

/// Power by band, six to the octave, summed over many periodograms (Welch, IEEE Trans. Audio
/// AU-15(2), 1967). Memory does not grow with what is added.
class BandPowers {
 public:
  /// Adds the Hann periodogram of a window, mean and slope removed, from `from_hz` to `to_hz`,
  /// `gaps` (sorted by from_hz) left out. Uneven samples are transformed by their own times.
  void add(const Window& window, double from_hz, double to_hz, std::span<const Gap> gaps);
  void add(const BandPowers& more);
  void clear();
  /// Those with anything in them, slowest first.
  std::vector<Band> bands() const;

 private:
  struct Sum {
    double density = 0.0;
    double bins = 0.0;
  };
  void count(std::span<const double> density, double bin_hz, double from_hz, double to_hz,
             std::span<const Gap> gaps);
  std::vector<Sum> sums_;
  std::optional<double> from_hz_;  ///< the slowest added yet
  double to_hz_ = 0.0;
  std::vector<std::complex<double>> record_;  ///< where windows are transformed
};

}  // namespace lampbeat::signal::spectrum
