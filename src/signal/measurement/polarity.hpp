#pragma once

#include <optional>

#include "lampbeat/measurement.hpp"
#include "signal/states/capture_facts.hpp"
#include "signal/states/state_figures.hpp"

namespace lampbeat::signal::measurement {

/// What percent flicker would be if the recording stood upside down. An AC-coupled recording does
/// not say which way up it is, unless one way round the light would go below nothing. Empty where
/// that is told, where the user told it (`--invert`, `--upright`), and where both come to the same.
std::optional<double> percent_upside_down(const states::JudgedState& state,
                                          const states::CaptureFacts& capture);

/// Whether a mains light's cycle has its sharp corners on top and its round sides below: so looks
/// the light of rectified mains, upside down.
bool corners_on_top(const Measurement& figures);

}  // namespace lampbeat::signal::measurement
