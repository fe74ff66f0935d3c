#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "reasoning/shutters/shutters_offers.hpp"

namespace lampbeat::reasoning::shutters {

/// What an answer about one frame rate may name: of a camera's own list (`available`, as in
/// PlanRequest) what has to be judged of it; of a camera set as the shutter was `asked` for, the
/// customary stops so written, and as fine values every exposure of whole cycles, to the digits of
/// its label; and of an unknown camera the customary offers.
std::vector<Offer> spoken_offers(std::span<const LightShare> lights,
                                 std::span<const std::string> available,
                                 std::optional<ShutterNotation> asked, FrameRate fps);

}  // namespace lampbeat::reasoning::shutters
