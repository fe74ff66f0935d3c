#pragma once

#include <span>
#include <vector>

namespace lampbeat::reasoning::bands {

/// The lags 1 ... highest; beyond `limit` of them a scattered choice of that size, which always
/// holds the first few and the last.
std::vector<int> lags_up_to(int highest, int limit);

/// The same, kept by each thread for whoever asks for the same lags again: of one frame rate every
/// exposure does. Good until the thread has asked for a few others.
std::span<const int> lags_kept(int highest, int limit);

}  // namespace lampbeat::reasoning::bands
