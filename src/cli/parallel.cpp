#include "cli/parallel.hpp"

#include <tbb/global_control.h>
#include <tbb/info.h>
#include <tbb/parallel_for.h>
#include <tbb/parallel_pipeline.h>
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

void for_each_in_order(std::size_t count, const std::function<void(std::size_t)>& work,
                       const std::function<void(std::size_t)>& then) {
  const auto threads = static_cast<std::size_t>(tbb::info::default_concurrency());
  std::size_t next = 0;
  tbb::parallel_pipeline(
      2 * threads,
      tbb::make_filter<void, std::size_t>(tbb::filter_mode::serial_in_order,
                                          [&](tbb::flow_control& control) {
                                            if (next == count) control.stop();
                                            return next++;
                                          }) &
          tbb::make_filter<std::size_t, std::size_t>(tbb::filter_mode::parallel,
                                                     [&](std::size_t i) {
                                                       work(i);
                                                       return i;
                                                     }) &
          tbb::make_filter<std::size_t, void>(tbb::filter_mode::serial_in_order, then));
}

}  // namespace lampbeat::cli
