#pragma once

#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"
#include "signal/course/course.hpp"

// What is too slow for windows of a second, seen in the course of the whole capture.

namespace lampbeat::signal::course {

/// The values with whatever only rises, or only falls, taken out: warming up, cooling down, one
/// step. Isotonic regression (Ayer et al., Ann. Math. Stat. 26(4), 1955), in the better of both
/// directions, where that explains most of what they do; else a straight line.
std::vector<double> without_drift(const std::vector<double>& value);

/// A rhythm too slow for the windows.
struct SlowRhythm {
  ToneAnalysis tones;  ///< phases as at the part's first value
  CycleFigures cycle;
  Rhythm rhythm;
};
/// A course of fewer blocks shows no rhythm: three cycles at sixteen a cycle.
inline constexpr std::size_t fewest_blocks_of_a_rhythm = 48;

/// Rhythms below this are left in the course, so that a slow one keeps its multiples.
inline constexpr double slow_rhythms_below_hz = 25.0;

/// The rhythm slower than `below_hz` of which the part holds at least three cycles, where it
/// explains nearly all of the movement: irregular light has no rhythm, though its strongest lines
/// look like one.
std::optional<SlowRhythm> slow_rhythm(const Course::Part& part, double below_hz);

}  // namespace lampbeat::signal::course
