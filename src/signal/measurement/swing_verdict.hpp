#pragma once

#include <optional>

#include "signal/states/capture_facts.hpp"
#include "signal/states/state_figures.hpp"

namespace lampbeat::signal::measurement {

/// The one rule by which a verdict agrees with the readings' own swing: what was found (rhythms,
/// noise, drift) must reach as far as the readings do, and the level must not jump. Empty when it
/// does; of a light with a level.
std::optional<left_over::Excess> beyond_what_was_found(const states::JudgedState& state,
                                                       const states::CaptureFacts& capture);

}  // namespace lampbeat::signal::measurement
