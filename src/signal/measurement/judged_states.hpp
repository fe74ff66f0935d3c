#pragma once

#include <vector>

#include "signal/states/capture_facts.hpp"
#include "signal/states/state_figures.hpp"

namespace lampbeat {

/// The states of a light, each judged by itself with its own figures; those that say the same are
/// joined, in `epochs` too, which the result refers to. Of a light that goes to and fro with a slow
/// rhythm, whose swings only look like states, there is one.
/// `level`: of the state of the latest window. At least one epoch.
std::vector<JudgedState> judged_states(std::vector<Epoch>& epochs, double level,
                                       const signal::left_over::LeftOverAccount& whole,
                                       const CaptureFacts& capture);

}  // namespace lampbeat
