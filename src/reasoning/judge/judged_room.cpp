#include "reasoning/judge/judged_room.hpp"

#include <utility>

#include "reasoning/judge/unseen.hpp"

namespace lampbeat::reasoning::judge {

std::shared_ptr<const JudgedRoom> judged_room(std::span<const LightShare> lights,
                                              const PredictionOptions& options,
                                              std::optional<double> readout_s, int rows) {
  Room room = room_of(lights, options);
  Judge judge = judge_of(room, readout_s, rows);
  Judge unseen(unseen_scenes(room), readout_s, rows, options.viewing);
  return std::make_shared<const JudgedRoom>(
      JudgedRoom{std::move(room), std::move(judge), std::move(unseen)});
}

std::shared_ptr<const JudgedRoom> judged_room(const Prediction& p) {
  return p.judged ? p.judged : judged_room(p.lights, p.options, p.shot.readout_s, p.shot.rows);
}

}  // namespace lampbeat::reasoning::judge
