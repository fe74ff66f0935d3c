#pragma once

#include <cstdint>
#include <span>

#include "signal/windows/survey.hpp"

namespace lampbeat::signal::windows {

/// How many samples rest on the highest (`upper`) or lowest of all as only a recorder at its limit
/// makes them: approached gradually and then kept far longer than by a crest, or without the noise
/// that rides on all others, or, without noise, exactly there and nowhere else. 0 where a light
/// explains it: a square wave jumps to its top. `step` is the converter's, 0 without steps;
/// `survey` is of `raw`.
std::uint64_t resting_on_extreme(std::span<const double> raw, const Survey& survey, double step,
                                 bool upper);

}  // namespace lampbeat::signal::windows
