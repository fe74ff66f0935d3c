#pragma once

#include <string>

#include "lampbeat/shutters.hpp"

namespace lampbeat::reasoning::advice {

/// One clean exposure for as many of the plan's frame rates as any, nearest to 180° there, and how
/// far the mains may be off: "1/60 s serves 24, 25 and 30 fps alike ..."; empty when nothing is
/// clean.
std::string common_setting(const ShutterPlan& plan);

}  // namespace lampbeat::reasoning::advice
