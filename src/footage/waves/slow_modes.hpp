#pragma once

#include <cstddef>
#include <vector>

namespace lampbeat::footage::waves {

/// Takes the first `modes` cosine modes (the mean and slow drifts) out of a series.
void take_out_slow(std::vector<double>& series, std::size_t modes);

}  // namespace lampbeat::footage::waves
