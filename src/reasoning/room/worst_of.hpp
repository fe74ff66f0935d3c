#pragma once

#include <memory>

#include "lampbeat/room.hpp"
#include "reasoning/judge/judged_room.hpp"

namespace lampbeat::reasoning::room {

/// The judge of these lights for the camera of a request.
std::shared_ptr<const judge::JudgedRoom> judge_for(std::span<const LightShare> lights,
                                                   const RoomRequest& request);

/// The worst case of the request's shot, as `predict` gives it.
Recorded worst_of(const judge::Judge& judge, const RoomRequest& request);
Recorded worst_of(std::span<const LightShare> lights, const RoomRequest& request);

}  // namespace lampbeat::reasoning::room
