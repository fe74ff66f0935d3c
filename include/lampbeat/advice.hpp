#pragma once

#include <string>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"

namespace lampbeat {

/// Sentences for the person behind the camera, with this case's numbers: why it bands or not, the
/// nearest safe setting and its cost, which light of a mixture is to blame, whether the folk rule
/// behind the question holds here, what changes on the other mains frequency, cautions.
std::vector<std::string> advise(const Prediction& prediction);
std::vector<std::string> advise(const ShutterPlan& plan);

}  // namespace lampbeat
