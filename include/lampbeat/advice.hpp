#pragma once

#include <span>
#include <string>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"

namespace lampbeat {

/// Sentences for the person behind the camera, with this case's numbers: why it bands or not, the
/// nearest safe setting and its cost, which light of a mixture is to blame, whether the folk rule
/// behind the question holds here, what changes on the other mains frequency, cautions. Most useful
/// first.
///
/// Settings named for one shot are those the camera offers (`available`, as on its dial; empty: the
/// customary ones). Throws UsageError for one that cannot be read.
std::vector<std::string> advise(const Prediction& prediction,
                                std::span<const std::string> available = {});
std::vector<std::string> advise(const ShutterPlan& plan);

}  // namespace lampbeat
