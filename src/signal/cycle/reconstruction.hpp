#pragma once

#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"

namespace lampbeat::signal::cycle {

/// Extremes and areas of the sum of the tones around `mean`, for light that can only be had from
/// its tones (a sensor's bandwidth or a recorder's coupling undone). A truncated series rings at
/// square edges, so this is the second choice after folding samples. Empty when there are no
/// rhythms or the result is not a light (nothing positive).
std::optional<CycleFigures> figures_of_tones(const ToneAnalysis& tones, double mean,
                                             const std::vector<Rhythm>& rhythms);

}  // namespace lampbeat::signal::cycle
