#pragma once

#include <optional>

#include "lampbeat/window.hpp"
#include "signal/measurement/response_play.hpp"
#include "signal/states/epoch_figures.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::measurement {

/// How far a light goes below and above its own mean, from a window that lost this mean: at least
/// so far whatever noise, gaps between the samples and an unknown coupling did to the waveform.
/// Empty for a window that kept its level, or whose cycle does not show.
std::optional<states::Reach> reach_of(const Window& light, const ToneAnalysis& tones,
                                      const tones::RhythmChoice& choice, const SignalPath& path);

}  // namespace lampbeat::signal::measurement
