#pragma once

#include <optional>

#include "footage/stretches/watched.hpp"

namespace lampbeat::footage::answer {

/// How a light of the stated frequency would have moved through the clip.
struct ExpectedRoll {
  double hz = 0.0;     ///< of the roll, signed
  double turns = 0.0;  ///< completed in the clip at least, wherever its mains stood
};
/// Empty for a still.
std::optional<ExpectedRoll> expected_roll(double light_hz, const stretches::Watched& watched);

/// A pattern's scene is separated from it once it has gone round.
constexpr double whole_turn = 1.0;

/// Amplitude of whole-frame pulsing that may hide in the frame means of a clip at this roll: what
/// they do there, be it the exposure automatic, and thrice its uncertainty.
double possible_pulsing(const stretches::Watched& watched, double roll_hz);

}  // namespace lampbeat::footage::answer
