#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/room.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/rooms.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"

// On which mains a room is judged: the one that is named, else the one `predict` would take.

using namespace lampbeat;
using namespace predict_lights;
using namespace rooms;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::has_finding;

namespace {

RoomRequest asked(double exposure_s) { return request_for({{25, 1}, exposure_s, 0.016, 540}); }

/// Two lamps far apart, each with a table under it that the other hardly lights.
Room two_tables(const Light& left, const Light& right) {
  Room room = black_room();
  room.fixtures = {lamp("left", left, {10.0, 50.0, 3.0}), lamp("right", right, {90.0, 50.0, 3.0})};
  room.fixtures[0].half_angle_deg = room.fixtures[1].half_angle_deg = 10.0;
  room.fixtures[0].kind = "left.json";
  room.fixtures[1].kind = "right.json";
  room.places = {{"left table", {10.0, 50.0, 1.0}, up}, {"right table", {90.0, 50.0, 1.0}, up}};
  return room;
}

void check_alike(const Recorded& found, const Recorded& expected) {
  CHECK(found.verdict == expected.verdict);
  CHECK(found.visibility == Approx(expected.visibility).epsilon(1e-9));
  CHECK(found.band_percent == Approx(expected.band_percent).epsilon(1e-9));
}

}  // namespace

TEST_CASE("a mains nobody names is that of the capture, with the tolerance predict gives it") {
  std::mt19937 random(4401);
  for (int i = 0; i < draws(20); ++i) {
    const double nominal_hz = test::often(random, 0.5) ? 50.0 : 60.0;
    const double taken_hz = nominal_hz * between(random, 0.985, 1.015);
    Room room = black_room();
    room.fixtures = {lamp("panel", locked_series(random, taken_hz, 4), {50.0, 50.0, 3.0})};
    room.places = {{"table", {50.0, 50.0, 1.0}, up}};
    RoomRequest request = asked(between(random, 0.004, 0.04));
    request.map_height_m = 1.0;
    const std::vector<LightShare> alone = {{room.fixtures[0].light, 1.0}};
    for (const bool named : {false, true}) {
      PredictionOptions options;
      if (named) options.mains_hz = room.mains_hz = nominal_hz;
      const Prediction p = predict(alone, request.shot, options);
      const RoomResult result = judge_room(room, request);
      CHECK(*result.options.mains_hz == Approx(named ? nominal_hz : taken_hz));
      const PlaceResult& place = result.places.at(0);
      check_alike(place.prediction->worst, p.worst);
      CHECK(place.prediction->mains_tolerance_hz == Approx(p.mains_tolerance_hz));
      const auto& row = result.map->cells[result.map->cells.size() / 2];
      CHECK(*row[row.size() / 2].visibility == Approx(p.worst.visibility).epsilon(1e-9));
      PlanRequest plan;
      plan.frame_rates = {request.shot.fps};
      plan.available = request.available;
      plan.readout_s = request.shot.readout_s;
      plan.rows = request.shot.rows;
      plan.options = options;
      const ShutterPlan planned = plan_shutters(alone, plan);
      REQUIRE(!place.best.empty());
      CHECK(place.best[0].label == planned.settings.at(0).label);
      CHECK(place.best[0].worst.visibility == Approx(planned.settings[0].worst.visibility));
      for (const RoomChange& c : place.changes) {
        if (c.action != RoomAction::add_steady_light) continue;
        const std::vector<LightShare> steadied = {{room.fixtures[0].light, place.illuminance_lux},
                                                  {Light{}, *c.steady_lux}};
        check_alike(predict(steadied, request.shot, options).worst,
                    predict(steadied, request.shot, place.prediction->options).worst);
      }
    }
  }
}

TEST_CASE("all places of a room are on one mains, whichever light each of them sees") {
  const Light left = mains_ripple(49.6, 0.4);
  const Light right = mains_ripple(50.2, 0.4);
  const RoomResult result = judge_room(two_tables(left, right), asked(1.0 / 50.0));
  for (const PlaceResult& place : result.places) {
    CHECK(*place.prediction->mains_hz == Approx(49.6));
    CHECK(place.prediction->mains_tolerance_hz == Approx(0.496 + 0.4));
  }
  Room off = two_tables(left, right);
  off.fixtures[0].dim = 0.0;
  CHECK(*judge_room(off, asked(1.0 / 50.0)).options.mains_hz == Approx(50.2));
}

TEST_CASE("what was measured says more about the mains than what is typical") {
  const Room room = two_tables(typical_light("led-rippled", 50.0), mains_ripple(49.6, 0.4));
  CHECK(*judge_room(room, asked(1.0 / 50.0)).options.mains_hz == Approx(49.6));
}

TEST_CASE("lights of two mains in one room are told of, once for each kind") {
  Room room = two_tables(mains_ripple(50.0, 0.4), mains_ripple(60.0, 0.4));
  room.fixtures.push_back(room.fixtures[1]);
  room.fixtures.back().name = "another";
  const Findings findings = judge_room(room, asked(1.0 / 50.0)).findings;
  CHECK(std::count_if(findings.begin(), findings.end(),
                      [](const Finding& f) { return f.code == "mixed_mains"; }) == 1);
  room.mains_hz = 50.0;
  CHECK_FALSE(has_finding(judge_room(room, asked(1.0 / 50.0)).findings, "mixed_mains"));
}
