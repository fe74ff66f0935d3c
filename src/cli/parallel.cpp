#include "cli/parallel.hpp"

#include <tbb/global_control.h>
#include <tbb/info.h>
#include <tbb/parallel_for.h>
#include <tbb/task_arena.h>

namespace lampbeat::cli {

void for_each_index(std::size_t count, int jobs, const std::function<void(std::size_t)>& work) {
  const int threads = jobs > 0 ? jobs : tbb::info::default_concurrency();
  // The control lets a person ask for more threads than processors: captures may wait for a disk.
  const tbb::global_control allowed(tbb::global_control::max_allowed_parallelism,
                                    static_cast<std::size_t>(threads));
  tbb::task_arena arena(threads);
  arena.execute([&] {
    tbb::parallel_for(
        tbb::blocked_range<std::size_t>(0, count, 1),
        [&](const tbb::blocked_range<std::size_t>& range) {
          for (std::size_t i = range.begin(); i < range.end(); ++i) work(i);
        },
        tbb::simple_partitioner());
  });
}

}  // namespace lampbeat::cli
