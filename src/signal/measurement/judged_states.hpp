#pragma once

#include <vector>

#include "signal/states/capture_facts.hpp"
#include "signal/states/state_figures.hpp"

namespace lampbeat::signal::measurement {

/// The states of a light, each judged by itself with its own figures; those that say the same are
/// joined, in `epochs` too, which the result refers to. Of a light that goes to and fro with a slow
/// rhythm, whose swings only look like states, there is one.
/// `level`: of the state of the latest window. At least one epoch.
std::vector<states::JudgedState> judged_states(std::vector<states::Epoch>& epochs, double level,
                                               const left_over::LeftOverAccount& whole,
                                               const states::CaptureFacts& capture);

}  // namespace lampbeat::signal::measurement
