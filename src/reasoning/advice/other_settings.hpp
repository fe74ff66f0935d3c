#pragma once

#include <span>
#include <string>

#include "lampbeat/prediction.hpp"

// What to set instead: the part of the advice on a shot that asks the judge on, the one the
// prediction came from.

namespace lampbeat::reasoning::advice {

/// "Set 1/50: the nearest clean shutter at 25 fps ...", or why there is none; empty for a shot that
/// is clean. `available`: as `advise` takes it.
std::string remedy(const Prediction& p, std::span<const std::string> available);

/// What the same setting records on the other mains of the world, where that differs, and what to
/// set there; else empty.
std::string travel(const Prediction& p, std::span<const std::string> available);

}  // namespace lampbeat::reasoning::advice
