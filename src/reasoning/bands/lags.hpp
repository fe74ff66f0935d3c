#pragma once

#include <vector>

namespace lampbeat::reasoning::bands {

/// The lags 1 ... highest; beyond `limit` of them a scattered choice of that size, which always
/// holds the first few and the last.
std::vector<int> lags_up_to(int highest, int limit);

}  // namespace lampbeat::reasoning::bands
