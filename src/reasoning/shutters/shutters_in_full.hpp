#pragma once

#include "lampbeat/shot.hpp"
#include "reasoning/judge/judge.hpp"

namespace lampbeat::reasoning::shutters {

/// Whether an exposure is clean as `predict` says. `Judge::clean` asks for the visibilities alone
/// and may miss a height of them, by up to a tenth seen, that the search for the highest
/// percentages comes upon: what it calls clean and somebody will rely on is asked in full.
inline bool clean_in_full(const judge::Judge& judge, double exposure_s, FrameRate fps) {
  return judge.clean(exposure_s, fps) &&
         is_clean(judge.worst(exposure_s, fps, judge.nominal(exposure_s, fps).figures).figures);
}

}  // namespace lampbeat::reasoning::shutters
