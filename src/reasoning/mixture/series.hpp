#pragma once

#include <complex>
#include <optional>
#include <span>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "reasoning/mixture/swing.hpp"

// A mixture of lights as the camera's arithmetic wants it: rhythms, each a harmonic series whose
// parts keep their phases to each other, while the rhythms slide against one another.

namespace lampbeat::reasoning::mixture {

/// One part of a rhythm: Re(amplitude · e^{2πi · order · hz · t}), relative to the mixture's mean.
struct Harmonic {
  int order = 1;
  std::complex<double> amplitude;
};

/// The greatest amplitude among them, 0 of none.
double strongest_amplitude(std::span<const Harmonic> harmonics);

/// The highest order among them, 1 of none.
int highest_order(std::span<const Harmonic> harmonics);

/// A rhythm below this part of the light matters to nobody: no shutter is chosen for it, and no
/// word is lost on it.
inline constexpr double weakest_that_matters = 0.002;

/// A harmonic series. Only the phases within it are known.
struct Series {
  double hz = 0.0;  ///< fundamental; harmonic k runs at k · hz
  std::vector<Harmonic> harmonics;
  /// Of a light known by its frequency alone: any of them may be the one that shows.
  bool any_waveform = false;
  /// Of such a light, once it is recorded: how far rows may stand above and below the mean; of
  /// frame means, how much further than the harmonics tell (`bands/flash_train.hpp`).
  Swing swing = {};
};

/// Whether one of them is of a light known by its frequency alone.
bool some_any_waveform(std::span<const Series> rhythms);

/// The lights with shares summing to 1. Throws UsageError when there is none, a share is not
/// positive, or a component is not a finite number.
std::vector<LightShare> with_normal_shares(std::span<const LightShare> lights);

/// What of a light follows the mains, as one series by its orders: their ratios are exact whatever
/// the digits of the frequencies say. Empty when nothing does.
std::optional<Series> locked_series(const LightShare& light);

/// The rhythms of a mixture. Within one light, locked components are one series; others join a
/// series when their frequency is a simple ratio of its own. Between lights nothing is known, so
/// every light brings its own rhythms.
std::vector<Series> series_of(std::span<const LightShare> lights);

}  // namespace lampbeat::reasoning::mixture
