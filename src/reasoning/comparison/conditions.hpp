#pragma once

#include <optional>
#include <string>

#include "lampbeat/comparison.hpp"

namespace lampbeat::reasoning::comparison {

/// Null where the occasion does not have it.
const Condition* condition_named(const Occasion& occasion, const std::string& name);

/// Why figures of the one are not figures of the other: another measurement version, another
/// set-up of sensor or camera.
Findings what_sets_apart(const Occasion& before, const Occasion& after);

/// Where the later capture was sampled so much slower that what was seen before could not be.
std::optional<Finding> looked_less_far(const Occasion& before, const Occasion& after);

}  // namespace lampbeat::reasoning::comparison
