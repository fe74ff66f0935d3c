#pragma once

#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "signal/cycle/each_rhythm.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::measurement {

/// The cycle of one window.
struct WindowCycle {
  std::optional<CycleFigures> figures;      ///< of all its rhythms together
  std::vector<cycle::RhythmAlone> rhythms;  ///< each by itself where there are two
  /// The leading rhythm's fold, where it was folded by itself.
  std::optional<cycle::FoldedRhythm> leading;
};

/// Folds a window on its rhythms. The leading rhythm's cycle is divided into `cells`, as in `fold`.
WindowCycle cycle_in(const Window& light, const tones::RhythmChoice& choice, std::size_t cells = 0);

}  // namespace lampbeat::signal::measurement
