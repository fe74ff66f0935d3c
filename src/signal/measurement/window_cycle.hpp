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
};

/// Folds a window on its rhythms.
WindowCycle cycle_in(const Window& light, const tones::RhythmChoice& choice);

}  // namespace lampbeat::signal::measurement
