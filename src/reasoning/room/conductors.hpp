#pragma once

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

/// How late its voltage is against that of the first conductor of its supply, mains cycles.
double late_cycles(Conductor conductor);

/// Supplies whose conductors stand in a known relation to each other.
enum class Supply { unknown, three_phase, split_phase };
Supply supply_of(Conductor conductor);

/// The room with all its fixtures in step, as if nobody knew their conductors. Empty where no alike
/// fixtures that are lit hang on several, so that it makes no odds.
std::optional<Room> in_step(const Room& room);

}  // namespace lampbeat::reasoning::room
