#include "lampbeat/room.hpp"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>

#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "reasoning/room/changes.hpp"
#include "reasoning/room/map.hpp"
#include "reasoning/room/one_mains.hpp"
#include "reasoning/room/room_doubts.hpp"

namespace lampbeat {
namespace {

using namespace reasoning;

void plan_best(PlaceResult& place, std::span<const LightShare> lights, const RoomRequest& request) {
  constexpr std::size_t most = 5;
  PlanRequest plan;
  plan.frame_rates = {request.shot.fps};
  plan.available = request.available;
  if (!request.shot.readout_assumed) plan.readout_s = request.shot.readout_s;
  plan.rows = request.shot.rows;
  plan.options = request.options;
  ShutterPlan planned = plan_shutters(lights, plan);
  if (planned.settings.size() > most) planned.settings.resize(most);
  place.best = std::move(planned.settings);
  if (!planned.outlooks.empty()) place.slower = planned.outlooks.front().slower;
}

PlaceResult judged(const Place& place, const Room& room, const RoomRequest& request) {
  PlaceResult result;
  result.place = place;
  result.shares = light_on(room, place.at_m, place.facing);
  result.illuminance_lux = illuminance_lux(result.shares);
  std::erase_if(result.shares, [](const FixtureShare& s) { return !(s.share > 0.0); });
  std::stable_sort(result.shares.begin(), result.shares.end(),
                   [](const FixtureShare& a, const FixtureShare& b) { return a.share > b.share; });
  const std::vector<LightShare> lights = lights_on(room, result.shares);
  if (lights.empty()) {
    result.findings.push_back(
        {"no_light",
         "No light of these fixtures falls on it, so there is nothing to judge. Check where it "
         "stands, which way it faces, and whether the fixtures are lit."});
    return result;
  }
  result.prediction = predict(lights, request.shot, request.options);
  room::note_reliance_on_conductors(result, room, request);
  plan_best(result, lights, request);
  if (!is_clean(result.prediction->worst)) {
    result.changes = room::changes_for(room, result, request);
  }
  return result;
}

}  // namespace

RoomResult judge_room(const Room& room, const RoomRequest& request) {
  if (request.map_height_m &&
      !(*request.map_height_m >= 0.0 && *request.map_height_m <= room.size_m.z)) {
    throw UsageError(fmt::format("a map at {:g} m lies outside this room, which is {:g} m high",
                                 *request.map_height_m, room.size_m.z));
  }
  const room::OnOneMains lit = room::on_one_mains(room, request.options);
  RoomRequest taken = request;
  taken.options = lit.options;
  RoomResult result;
  result.room = room;
  result.shot = request.shot;
  result.options = taken.options;
  result.options.mains_hz = lit.mains_hz;
  result.findings = room::doubts_about(room, request);
  result.findings.insert(result.findings.begin(), lit.findings.begin(), lit.findings.end());
  result.places.resize(room.places.size());
  tbb::parallel_for(std::size_t{0}, room.places.size(), [&](std::size_t i) {
    result.places[i] = judged(room.places[i], lit.room, taken);
  });
  if (!request.options.mains_hz) {
    // Nobody asked for another mains: what runs free is meant to.
    for (PlaceResult& place : result.places) {
      if (!place.prediction) continue;
      std::erase_if(place.prediction->findings,
                    [](const Finding& f) { return f.code == "not_locked"; });
    }
  }
  if (request.map_height_m) result.map = room::map_of(lit.room, taken);
  return result;
}

}  // namespace lampbeat
