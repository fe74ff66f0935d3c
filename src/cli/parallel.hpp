#pragma once

#include <cstddef>
#include <functional>

namespace lampbeat::cli {

/// Calls `work(i)` once for each i below `count`, on up to `jobs` threads (0: one per processor).
/// Each call must keep to its own part of the results, so that the number of threads cannot show.
void for_each_index(std::size_t count, int jobs, const std::function<void(std::size_t)>& work);

}  // namespace lampbeat::cli
