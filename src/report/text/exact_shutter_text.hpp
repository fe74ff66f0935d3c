#pragma once

#include <string>
#include <vector>

#include "lampbeat/shutters.hpp"

namespace lampbeat::report::text {

/// What a finely set shutter offers, a sentence for each frame rate: the best value, how far it may
/// be off, the stop of an ordinary dial next to it. None where no range was on offer.
std::vector<std::string> exact_shutters(const ShutterPlan& plan);

/// Where nothing is clean over the tolerance of a free-running clock: what is while that holds.
std::vector<std::string> while_clocks_hold(const ShutterPlan& plan);

}  // namespace lampbeat::report::text
