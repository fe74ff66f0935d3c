#pragma once

#include <string>
#include <vector>

#include "lampbeat/shutters.hpp"
#include "reasoning/judge/judge.hpp"
#include "reasoning/shutters/shutters_dial.hpp"

namespace lampbeat::reasoning::shutters {

/// The exposures of a plan's clean settings that are clean at all its frame rates, those nearest to
/// 180° over all rates first. A camera's own list has to offer them at each rate; an open dial is
/// judged where they were not on offer. Of ranges also a point in whatever clean spans all rates
/// have in common, if they share one. `dials`: of the plan's frame rates.
std::vector<CommonExposure> common_exposures(const ShutterPlan& plan, const judge::Judge& judge,
                                             const std::vector<Dial>& dials);

/// A common exposure as people say it: "1/60 s", or "16.68 ms (144° at 23.976 fps, 180° at 29.97
/// fps)" on a camera set in angles.
std::string common_words(const CommonExposure& common, const ShutterPlan& plan);

}  // namespace lampbeat::reasoning::shutters
