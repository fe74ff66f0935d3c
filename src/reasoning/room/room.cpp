#include "lampbeat/room.hpp"

#include <fmt/format.h>
#include <tbb/parallel_for.h>

#include <algorithm>
#include <utility>

#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "reasoning/room/changes.hpp"
#include "reasoning/room/map.hpp"
#include "reasoning/room/one_mains.hpp"
#include "reasoning/room/room_doubts.hpp"

namespace lampbeat {
namespace {

using namespace reasoning;

constexpr const char* on_worst_cell = "Where the map is worst: ";

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

/// Where nobody asked for another mains, what runs free is meant to.
void leave_free(Findings& findings) {
  std::erase_if(findings, [](const Finding& f) { return f.code == "not_locked"; });
}

bool told(const Findings& findings, const std::string& code) {
  return std::any_of(findings.begin(), findings.end(),
                     [&](const Finding& f) { return f.code == code; });
}

/// The map, with its cautions ahead of what was assumed. Places tell theirs themselves; where none
/// is named the worst cell stands for them.
void add_map(RoomResult& result, room::MapResult mapped) {
  Findings findings;
  for (const Finding& f : mapped.cautions) {
    const bool known =
        std::any_of(result.places.begin(), result.places.end(), [&](const PlaceResult& p) {
          return told(p.findings, f.code) || (p.prediction && told(p.prediction->findings, f.code));
        });
    if (!known) findings.push_back(f);
  }
  if (result.places.empty()) {
    for (const Finding& f : mapped.of_worst) {
      if (!told(result.findings, f.code)) findings.push_back({f.code, on_worst_cell + f.message});
    }
  }
  result.findings.insert(result.findings.begin(), findings.begin(), findings.end());
  result.map = std::move(mapped.map);
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
    for (PlaceResult& place : result.places) {
      if (place.prediction) leave_free(place.prediction->findings);
    }
  }
  if (request.map_height_m) {
    room::MapResult mapped = room::map_of(lit.room, taken);
    if (!request.options.mains_hz) leave_free(mapped.of_worst);
    add_map(result, std::move(mapped));
  }
  return result;
}

}  // namespace lampbeat
