#pragma once

#include "lampbeat/tones.hpp"

// Whether a window shows the light as it was before.

namespace lampbeat::signal::states {

/// The window a state of the light began with, and how many it has by now.
struct StateSoFar {
  const ToneAnalysis& first;
  int windows = 0;
  double level = 0.0;  ///< of them all
};

/// Whether a fit of the state's tones says that the light has stayed as it was: it leaves no more
/// than they did at first, and they are as strong relative to the level.
bool explains(const StateSoFar& state, const ToneAnalysis& fit);

/// Whether tones found in a window of a steady state are so near its detection floor that they are
/// no change of the light.
bool stays_steady(const StateSoFar& state, const ToneAnalysis& found);

/// Whether a level belongs to the state's kind: a lamp that is off is not the lamp on.
bool as_bright(const StateSoFar& state, const ToneAnalysis& tones);

}  // namespace lampbeat::signal::states
