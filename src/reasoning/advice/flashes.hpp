#pragma once

#include <optional>

#include "lampbeat/shutters.hpp"

namespace lampbeat::reasoning::advice {

/// The shortest flashes, as a part of their period, for which a setting of a plan stays clean over
/// the tolerances, if the lights that are known by their frequencies alone are of such flashes.
/// Empty when it is not clean even for light that is nearly steady.
std::optional<double> shortest_clean_flash(const ShutterPlan& plan, const Setting& setting);

}  // namespace lampbeat::reasoning::advice
