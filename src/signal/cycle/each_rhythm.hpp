#pragma once

#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "signal/cycle/folded_rhythm.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::cycle {

/// One of two rhythms by itself: the light averaged over the other one's phase.
struct RhythmAlone {
  Rhythm rhythm;
  std::size_t fundamental = 0;  ///< which rhythm that is: `RhythmChoice::fundamental`
  FoldedRhythm folded;
};

/// A window that two rhythms share, taken apart.
struct TwoRhythms {
  std::vector<RhythmAlone> alone;  ///< none where the window holds few cycles
  /// Of both together, over every combination of their phases; empty where the light is more than
  /// they and their product.
  std::optional<CycleFigures> together;
};

/// Takes a window that two rhythms share apart and folds each by itself. The light is taken for
/// m + a(x) + b(y) + k·a(x)·b(y), x and y the two phases: k = 0 for two lamps side by side, 1/m for
/// a ripple that a dimmer chops, in between for both at once, more where steady light is beside the
/// chopped (Tukey's one degree of freedom for non-additivity, Biometrics 5, 1949). The averages
/// over a phase are then m + a and m + b, and the extremes of both together are those of the parts.
/// Tones of further rhythms are taken out first. The first rhythm's cycle is divided into `cells`,
/// as in `fold`.
TwoRhythms take_apart(const Window& light, const tones::RhythmChoice& choice,
                      std::size_t cells = 0);

}  // namespace lampbeat::signal::cycle
