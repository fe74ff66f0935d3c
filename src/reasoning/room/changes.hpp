#pragma once

#include "lampbeat/room.hpp"
#include "reasoning/judge/judged_room.hpp"

namespace lampbeat::reasoning::room {

/// The best of each kind of change for a place that is not clean, most helpful first. Each is
/// judged as the room would be after it. `place` has its shares and its prediction.
std::vector<RoomChange> changes_for(const Room& room, const PlaceResult& place,
                                    const RoomRequest& request);

}  // namespace lampbeat::reasoning::room
