#pragma once

#include <optional>

#include "footage/rows/watched.hpp"
#include "footage/waves/standing.hpp"

namespace lampbeat::footage {

/// How a light of the stated frequency would have moved through the clip.
struct ExpectedRoll {
  double hz = 0.0;     ///< of the roll, signed
  double turns = 0.0;  ///< completed in the clip at least, wherever its mains stood
};
ExpectedRoll expected_roll(double light_hz, const Watched& watched);

/// A pattern's scene is separated from it once it has gone round.
constexpr double whole_turn = 1.0;

/// Amplitude of whole-frame pulsing that may hide in the frame means at this roll: what they do
/// there, be it the exposure automatic, and thrice its uncertainty.
double possible_pulsing(const Watched& watched, double roll_hz);

/// Contrast from the darkest to the brightest part of a profile: no standing pattern is deeper,
/// unless the surface happens to mirror it.
double whole_contrast(const RowProfile& profile);

}  // namespace lampbeat::footage
