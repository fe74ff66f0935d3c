#pragma once

#include <span>
#include <string>
#include <vector>

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

/// The part of a sum of alike lights that hangs on one conductor.
struct OnConductor {
  Conductor conductor = Conductor::unknown;
  double part = 0.0;  ///< of the sum; all of them add up to 1
};

/// Alike lights added up, relative to their sum: what follows the mains with the phases of the
/// conductors, which are all of one supply, what runs free in step. In other states too: that each
/// of the lights may be in another of its states, and that a plug may be in its socket the other
/// way round, which turns components of odd mains order over, counts in the worst case.
Light together(const Light& light, std::span<const OnConductor> parts);

}  // namespace lampbeat::reasoning::room
