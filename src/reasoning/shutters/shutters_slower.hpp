#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "reasoning/judge/judge.hpp"
#include "reasoning/shutters/shutters_offers.hpp"

namespace lampbeat::reasoning::shutters {

/// What a shutter can be set to at a frame rate.
using OffersAt = std::function<std::vector<Offer>(FrameRate)>;

/// The fastest of the rates (slowest first) below `fps` at which something on offer is clean, and
/// of that what stands first (see `plan_shutters`); stops before points of ranges and other fine
/// values.
std::optional<SlowerRate> fastest_clean_below(FrameRate fps, const std::vector<FrameRate>& rates,
                                              const judge::Judge& judge, const OffersAt& offers_at);

}  // namespace lampbeat::reasoning::shutters
