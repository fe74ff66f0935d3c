#pragma once

#include "signal/states/capture_facts.hpp"
#include "signal/states/state_figures.hpp"

namespace lampbeat::signal::measurement {

/// What is left of a state of this level beside the rhythms of its windows.
left_over::LeftOver left_over_beside(const left_over::LeftOverAccount& account, double level,
                                     const states::CaptureFacts& capture);

/// Judges what is left: whether it is light that no rhythm explains, and what a course without
/// rhythms says about the trust in figures. What is too faint for anybody is left out of
/// `state.left`.
void judge_left_over(states::JudgedState& state, const states::CaptureFacts& capture);

/// Stray readings are light from a hundredth of the level on and, beside rhythms of this amplitude
/// in all, from half of it.
double least_stray(double level, double rhythms);

}  // namespace lampbeat::signal::measurement
