#pragma once

#include <vector>

#include "signal/states/state_figures.hpp"

namespace lampbeat::signal::states {

/// For each state the one it is to be joined to: itself, or another that it says the same as.
///
/// Two say the same when they have the same rhythms, as deep within three of their ±, or both are
/// dark, or neither has anything that anybody could see or film. Irregular light has calm seconds,
/// and seconds in which it looks like a rhythm: both are part of it. Where the light goes to and
/// fro between states of one rhythm again and again it beats, and the deepest stands for all whose
/// rhythms it has.
std::vector<std::size_t> states_alike(const std::vector<JudgedState>& states, double rate_hz);

}  // namespace lampbeat::signal::states
