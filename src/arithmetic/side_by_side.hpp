#pragma once

#include <cstddef>

#ifndef __EMSCRIPTEN__
#include <tbb/parallel_for.h>
#include <tbb/parallel_invoke.h>
#include <tbb/task_arena.h>
#endif

// Work shared out over the processors; in a browser, which lends one, done in order.

namespace lampbeat::arithmetic {

/// Does `work(i)` for i = 0 ... count − 1, in any order.
template <typename Work>
void for_each_side_by_side(std::size_t count, const Work& work) {
#ifdef __EMSCRIPTEN__
  for (std::size_t i = 0; i < count; ++i) work(i);
#else
  tbb::parallel_for(std::size_t{0}, count, work);
#endif
}

/// Does each of them, side by side where there are threads for it; the last, which is the caller's
/// own, always on its thread, whose memory its arrays then reuse. Nothing else that waits for a
/// thread comes in between: it would keep the caller waiting.
template <typename... Work>
void side_by_side(const Work&... work) {
#ifdef __EMSCRIPTEN__
  (work(), ...);
#else
  tbb::this_task_arena::isolate([&] { tbb::parallel_invoke(work...); });
#endif
}

}  // namespace lampbeat::arithmetic
