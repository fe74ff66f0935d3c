#include "reasoning/room/worst_of.hpp"

namespace lampbeat::reasoning::room {

std::shared_ptr<const judge::JudgedRoom> judge_for(std::span<const LightShare> lights,
                                                   const RoomRequest& request) {
  return judge::judged_room(lights, request.options, request.shot.readout_s, request.shot.rows);
}

Recorded worst_of(const judge::Judge& judge, const RoomRequest& request) {
  const double exposure_s = request.shot.exposure_s;
  const FrameRate fps = request.shot.fps;
  return judge.worst(exposure_s, fps, judge.nominal(exposure_s, fps).figures).figures;
}

Recorded worst_of(std::span<const LightShare> lights, const RoomRequest& request) {
  const judge::Room room = judge::room_of(lights, request.options);
  return worst_of(judge::judge_of(room, request.shot.readout_s, request.shot.rows), request);
}

}  // namespace lampbeat::reasoning::room
