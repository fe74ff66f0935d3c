#pragma once

#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"
#include "signal/spectrum/band_powers.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::left_over {

/// What is left of the window beside all that was found in it, by whichever way two rhythms meet
/// leaves less.
std::vector<double> left_beside(const Window& light, const tones::RhythmChoice& choice);

/// The samples for the course of the whole capture, in which slow rhythms stay. `rest` is what is
/// left beside all rhythms.
std::vector<double> without_fast_rhythms(const Window& light, const std::vector<double>& rest,
                                         const std::vector<Rhythm>& rhythms);

/// Around every tone and every multiple of every rhythm, folded where it lies above half the rate:
/// frequencies that say nothing about what is left. Slowest first.
std::vector<spectrum::Gap> gaps_around(const ToneAnalysis& tones,
                                       const std::vector<Rhythm>& rhythms, double bin_hz,
                                       double rate_hz);

}  // namespace lampbeat::signal::left_over
