#pragma once

#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "signal/cycle/each_rhythm.hpp"
#include "signal/tones/rhythm.hpp"
#include "signal/tones/sensor_response.hpp"

namespace lampbeat::signal::measurement {

/// The cycle of one window.
struct WindowCycle {
  std::optional<CycleFigures> figures;      ///< of all its rhythms together
  std::vector<cycle::RhythmAlone> rhythms;  ///< each by itself where there are two
  /// The leading rhythm's fold, where it was folded by itself.
  std::optional<cycle::FoldedRhythm> leading;
};

/// Folds a window on its rhythms; where a sensor's response was undone on the tones, their sum
/// takes the samples' place. The leading rhythm's cycle is divided into `cells`, as in `fold`.
WindowCycle cycle_in(const Window& light, const ToneAnalysis& tones,
                     const tones::RhythmChoice& choice, const tones::SensorResponse& response,
                     std::size_t cells);

}  // namespace lampbeat::signal::measurement
