#pragma once

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

/// How late its voltage is against that of the first conductor of its supply, mains cycles.
double late_cycles(Conductor conductor);

/// Supplies whose conductors stand in a known relation to each other.
enum class Supply { unknown, three_phase, split_phase };
Supply supply_of(Conductor conductor);

}  // namespace lampbeat::reasoning::room
