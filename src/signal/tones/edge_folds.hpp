#pragma once

#include <vector>

#include "lampbeat/tones.hpp"

namespace lampbeat::signal::tones {

/// How far the multiples of a switched light that lie above half the sampling rate may move what is
/// seen below it.
///
/// Where the rate is nearly a whole multiple of the rhythm, each of them folds onto a seen one, or
/// onto the level, and turns against it as slowly as the rhythm drifts past the samples: an edge
/// falls between two samples, then between the next two. The sampled light changes; the light does
/// not. An edge's multiples fall off with their frequency, so that those seen in the upper octave
/// tell how strong the unseen ones are.
class EdgeFolds {
 public:
  /// `window_s`: whatever turns faster than that is seen as a line of its own.
  EdgeFolds(const ToneAnalysis& light, double rate_hz, double window_s);
  bool any() const { return !rhythms_.empty(); }
  /// Amplitude by which the level may be off.
  double on_level() const;
  /// Amplitude by which a tone may be.
  double on_tone(double hz) const;

 private:
  struct Switched {
    double fundamental_hz = 0.0;
    double strength = 0.0;  ///< amplitude times frequency, of any multiple
  };
  std::vector<Switched> rhythms_;
  double rate_hz_;
};

}  // namespace lampbeat::signal::tones
