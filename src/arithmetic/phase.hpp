#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

// Phases brought back to one turn. Inline, since fits ask for it in their innermost loops.

namespace lampbeat::arithmetic {

/// Of phase, in radians.
inline constexpr double turn = 2.0 * std::numbers::pi;

/// To the nearest whole turn, −½ to ½.
inline double wrapped_turns(double turns) { return turns - std::round(turns); }

/// What is begun of a turn, 0 up to 1.
inline double begun_turn(double turns) { return turns - std::floor(turns); }

/// The same in 2⁻⁶⁴ of a turn: of whole numbers that are added up, whole turns drop out by
/// themselves.
inline std::uint64_t begun_turn_in_whole(double turns) {
  return static_cast<std::uint64_t>(begun_turn(turns) * 0x1p63) << 1U;
}

/// −π to π.
inline double wrapped_rad(double phase_rad) { return std::remainder(phase_rad, turn); }

/// How far a number lies from the nearest whole one, 0 to ½: 3.98 cycles are 0.02 from whole.
inline double off_whole(double number) { return std::abs(number - std::round(number)); }

}  // namespace lampbeat::arithmetic
