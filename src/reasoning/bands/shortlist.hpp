#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "reasoning/bands/cycle.hpp"

namespace lampbeat::reasoning::bands {

/// The most promising lags, best first: the best of all, and the best of those better than their
/// neighbours, which for slow rhythms are the tops of different hills; up to `wanted` of each. A
/// lag below 0 has its dark sample before the bright one. The cycles have been weighed.
std::vector<int> promising_lags(std::span<const Cycle> cycles, std::span<const int> lags,
                                double unit_s, std::size_t wanted);

}  // namespace lampbeat::reasoning::bands
