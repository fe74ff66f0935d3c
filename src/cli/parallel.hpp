#pragma once

#include <cstddef>
#include <functional>

namespace lampbeat::cli {

/// Calls `work(i)` once for each i below `count`, on up to `jobs` threads (0: one per processor).
/// Each call must keep to its own part of the results, so that the number of threads cannot show.
void for_each_index(std::size_t count, int jobs, const std::function<void(std::size_t)>& work);

/// Calls `work(i)` once for each i below `count`, on as many threads as there are processors, and
/// `then(i)` for one after the other, from 0 on, each as soon as it can be. What either throws ends
/// both.
void for_each_in_order(std::size_t count, const std::function<void(std::size_t)>& work,
                       const std::function<void(std::size_t)>& then);

}  // namespace lampbeat::cli
