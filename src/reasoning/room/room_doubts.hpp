#pragma once

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

/// What has to be known about all of a room's answers: what was assumed, and what they are not.
Findings doubts_about(const Room& room, const RoomRequest& asked);

/// Where the light of a place is cleaner for hanging on several conductors: what it would be if it
/// did not, in a finding.
void note_reliance_on_conductors(PlaceResult& place, const Room& room, const RoomRequest& request);

}  // namespace lampbeat::reasoning::room
