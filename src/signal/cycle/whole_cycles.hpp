#pragma once

#include <cmath>
#include <cstddef>

#include "lampbeat/window.hpp"

namespace lampbeat::signal::cycle {

// What a window must hold to be folded.

inline constexpr std::size_t fewest_samples_folded = 6;
inline constexpr double fewest_cycles_folded = 3.0;
/// With more, a double leaves the phase of the last cycle fewer than four digits.
inline constexpr double most_cycles_folded = 1e12;
/// Of a cycle, or of an interval: forgives the rounding of a duration that is whole.
inline constexpr double hair_of_a_cycle = 1e-6;

/// How many whole cycles a window holds.
inline double whole_cycles(const Window& window, double hz) {
  return std::floor(window.duration_s() * hz + hair_of_a_cycle);
}

/// When the last of them ends, from the window's first sample.
inline double whole_cycles_end_s(const Window& window, double hz) {
  return whole_cycles(window, hz) / hz - hair_of_a_cycle * window.interval_s;
}

}  // namespace lampbeat::signal::cycle
