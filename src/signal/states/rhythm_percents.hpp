#pragma once

#include <vector>

#include "signal/states/epoch.hpp"

namespace lampbeat::signal::states {

/// One rhythm by itself, as IEEE 1789 judges it.
struct RhythmPercent {
  double hz = 0.0;
  double hz_sd = 0.0;
  double percent = 0.0;
  double percent_sd = 0.0;
};

/// Each independent rhythm with its own percent flicker, at the frequency of its strongest tone:
/// folded alone where it was (`alone`), else summed from its tones. `together` is the percent
/// flicker of them all, which is a lone rhythm's own. Slower tones of a rhythm (unequal half cycles
/// under twice the mains) are judged by themselves too, each by its own amplitude: a trace of them
/// must not move the whole rhythm to their frequency.
std::vector<RhythmPercent> rhythm_percents(const ToneAnalysis& tones,
                                           const std::vector<RhythmFigures>& alone, double together,
                                           double together_sd);

}  // namespace lampbeat::signal::states
