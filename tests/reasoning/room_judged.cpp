#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/error.hpp"
#include "lampbeat/room.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/rooms.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"

// Places and maps are judged as `predict` judges, and changes as the room would be after them.

using namespace lampbeat;
using namespace predict_lights;
using namespace rooms;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::has_finding;

namespace {

Place random_place(std::mt19937& random, const Room& room) {
  return {"table",
          {between(random, 0.2, room.size_m.x - 0.2), between(random, 0.2, room.size_m.y - 0.2),
           between(random, 0.5, 1.5)},
          up};
}

Shot random_shot(std::mt19937& random) {
  const FrameRate fps = frame_rates[random() % 5];
  return {fps, std::min(fps.frame_s(), between(random, 1e-3, 0.03)), 0.016, 540};
}

const Shot shot{{25, 1}, 1.0 / 50.0, 0.016, 1080};

}  // namespace

TEST_CASE("under one fixture a place is judged as predict judges that light") {
  std::mt19937 random(4301);
  for (int i = 0; i < draws(60); ++i) {
    Room room = random_room(random, 1);
    room.mains_hz = test::often(random, 0.5) ? 50.0 : 60.0;
    room.places = {random_place(random, room)};
    const RoomRequest request = request_for(random_shot(random));
    const RoomResult result = judge_room(room, request);
    PredictionOptions options;
    options.mains_hz = room.mains_hz;
    const std::vector<LightShare> alone = {{room.fixtures[0].light, 1.0}};
    const Prediction p = predict(alone, request.shot, options);
    REQUIRE(result.places.at(0).prediction);
    const Recorded& worst = result.places[0].prediction->worst;
    CHECK(worst.visibility == Approx(p.worst.visibility).epsilon(1e-9));
    CHECK(worst.band_percent == Approx(p.worst.band_percent).epsilon(1e-9));
    CHECK(worst.verdict == p.worst.verdict);
    REQUIRE(result.places[0].shares.size() == 1);
    CHECK(result.places[0].shares[0].share == Approx(1.0));
  }
}

TEST_CASE("under several kinds a place is judged as predict judges their shares") {
  std::mt19937 random(4302);
  for (int i = 0; i < draws(30); ++i) {
    Room room = random_room(random, 3);
    room.mains_hz = 50.0;
    room.places = {random_place(random, room)};
    const RoomRequest request = request_for(random_shot(random));
    const RoomResult result = judge_room(room, request);
    std::vector<LightShare> lights;
    for (const FixtureShare& s : light_on(room, room.places[0].at_m, up)) {
      lights.push_back({room.fixtures[s.fixture].light, s.share});
    }
    PredictionOptions options;
    options.mains_hz = 50.0;
    const Prediction p = predict(lights, request.shot, options);
    CHECK(result.places[0].prediction->worst.verdict == p.worst.verdict);
    CHECK(result.places[0].prediction->worst.visibility ==
          Approx(p.worst.visibility).epsilon(1e-3));
  }
}

TEST_CASE("each cell of the map is the verdict of a table standing there") {
  std::mt19937 random(4303);
  for (int i = 0; i < draws(20); ++i) {
    Room room = random_room(random, 2);
    room.mains_hz = 50.0;
    RoomRequest request = request_for(random_shot(random));
    request.map_height_m = between(random, 0.0, 1.5);
    const RoomMap map = *judge_room(room, request).map;
    REQUIRE(map.cells.size() * map.cells[0].size() <= 400);
    CHECK(map.cells.size() == std::size_t(std::ceil(room.size_m.y / map.step_m - 1e-9)));
    CHECK(map.cells[0].size() == std::size_t(std::ceil(room.size_m.x / map.step_m - 1e-9)));
    for (int cell = 0; cell < 3; ++cell) {
      const auto& row = map.cells[random() % map.cells.size()];
      const MapCell& c = row[random() % row.size()];
      CHECK(c.x_m < room.size_m.x);
      CHECK(c.y_m < room.size_m.y);
      room.places = {{"here", {c.x_m, c.y_m, map.height_m}, up}};
      request.map_height_m.reset();
      const RoomResult there = judge_room(room, request);
      CHECK(*c.visibility == Approx(there.places[0].prediction->worst.visibility).epsilon(1e-12));
      CHECK(c.verdict == there.places[0].prediction->worst.verdict);
      CHECK(c.illuminance_lux == Approx(there.places[0].illuminance_lux));
    }
  }
}

TEST_CASE("adding steady light never worsens a verdict") {
  std::mt19937 random(4304);
  for (int i = 0; i < draws(60); ++i) {
    Room room = random_room(random, 3);
    room.mains_hz = 60.0;
    const Place place = random_place(random, room);
    const Shot drawn = random_shot(random);
    const auto judged = [&] {
      const auto shares = light_on(room, place.at_m, place.facing);
      PredictionOptions options;
      options.mains_hz = 60.0;
      return predict(lights_on(room, shares), drawn, options).worst;
    };
    const Recorded before = judged();
    room.fixtures.push_back(lamp("window", typical_light("daylight", 60.0),
                                 {between(random, 0.0, room.size_m.x), 0.0, room.size_m.z},
                                 between(random, 100.0, 5000.0)));
    const Recorded after = judged();
    CHECK(after.verdict <= before.verdict);
    CHECK(after.visibility <= before.visibility * (1.0 + 1e-3));
  }
}

TEST_CASE("every change is judged as the room would be after it") {
  std::mt19937 random(4305);
  RandomLights deep;
  deep.locked = 1.0;  // what runs free takes the judge seconds where nothing is clean
  deep.shallowest = 0.3;
  int changes = 0;
  for (int i = 0; i < draws(60); ++i) {
    Room room = random_room(random, 4, deep);
    room.mains_hz = 50.0;
    for (std::size_t j = 0; j < room.fixtures.size(); ++j) {
      // Two alike on phases, and two others.
      if (j < 2) room.fixtures[j].kind = "panel";
      if (j == 1) room.fixtures[1].light = room.fixtures[0].light;
      room.fixtures[j].conductor = j == 0 ? Conductor::l1 : Conductor::l2;
    }
    room.places = {random_place(random, room)};
    const RoomRequest request = request_for(random_shot(random));
    const PlaceResult place = judge_room(room, request).places.at(0);
    if (is_clean(place.prediction->worst)) {
      CHECK(place.changes.empty());
      continue;
    }
    for (const RoomChange& c : place.changes) {
      ++changes;
      Room after = room;
      switch (c.action) {
        case RoomAction::switch_off:
          after.fixtures[*c.fixture].dim = 0.0;
          break;
        case RoomAction::swap:
          after.fixtures[*c.fixture].light = Light{};
          after.fixtures[*c.fixture].kind = "steady";
          break;
        case RoomAction::move:
          after.fixtures[*c.fixture].conductor = c.conductor;
          break;
        case RoomAction::add_steady_light:
          CHECK(c.verdict_after == Verdict::clean);
          CHECK(*c.steady_lux > 0.0);
          continue;
      }
      PredictionOptions options;
      options.mains_hz = room.mains_hz;
      const auto shares = light_on(after, place.place.at_m, place.place.facing);
      const Recorded worst = predict(lights_on(after, shares), request.shot, options).worst;
      INFO(action_words(c));
      CHECK(c.verdict_after == worst.verdict);
      CHECK(c.visibility_after == Approx(worst.visibility).epsilon(1e-6));
    }
  }
  CHECK(changes > 0);
}

TEST_CASE("the steady light named is enough, and four fifths of it are not") {
  Room room = black_room();
  room.mains_hz = 60.0;
  room.fixtures = {lamp("panel", mains_ripple(60.0, 0.2), {50.0, 50.0, 3.0})};
  room.places = {{"table", {50.0, 50.0, 1.0}, up}};
  const PlaceResult place = judge_room(room, request_for(shot)).places[0];
  REQUIRE(!is_clean(place.prediction->worst));
  const auto added = std::find_if(place.changes.begin(), place.changes.end(), [](const auto& c) {
    return c.action == RoomAction::add_steady_light;
  });
  REQUIRE(added != place.changes.end());
  const auto with_more = [&](double lux) {
    Light steady;
    const std::vector<LightShare> lights = {{room.fixtures[0].light, place.illuminance_lux},
                                            {steady, lux}};
    PredictionOptions options;
    options.mains_hz = 60.0;
    return predict(lights, shot, options).worst;
  };
  CHECK(is_clean(with_more(*added->steady_lux)));
  CHECK_FALSE(is_clean(with_more(0.8 * *added->steady_lux)));
}

TEST_CASE("moves are advised where there are three phases, and never between legs") {
  const auto moves = [](Conductor of_all) {
    Room room = black_room();
    room.mains_hz = 60.0;
    for (const double x : {49.0, 50.0, 51.0}) {
      room.fixtures.push_back(lamp("panel", mains_ripple(60.0, 0.3), {x, 50.0, 3.0}));
      room.fixtures.back().conductor = of_all;
    }
    room.places = {{"table", {50.0, 50.0, 1.0}, up}};
    const auto changes = judge_room(room, request_for(shot)).places[0].changes;
    return std::count_if(changes.begin(), changes.end(),
                         [](const RoomChange& c) { return c.action == RoomAction::move; });
  };
  CHECK(moves(Conductor::l1) == 1);
  CHECK(moves(Conductor::a) == 0);
  CHECK(moves(Conductor::unknown) == 0);
}

TEST_CASE("what is clean only thanks to the phases says so") {
  Room room = black_room();
  room.mains_hz = 50.0;
  for (const Conductor c : {Conductor::l1, Conductor::l2, Conductor::l3}) {
    room.fixtures.push_back(lamp("panel", mains_ripple(50.0, 0.4), {50.0, 50.0, 3.0}));
    room.fixtures.back().conductor = c;
  }
  room.places = {{"table", {50.0, 50.0, 1.0}, up}};
  const Shot drawn{{25, 1}, 1.0 / 125.0, 0.016, 1080};
  const PlaceResult place = judge_room(room, request_for(drawn)).places[0];
  CHECK(is_clean(place.prediction->worst));
  CHECK(has_finding(place.findings, "relies_on_phases"));
  room.fixtures[1].conductor = room.fixtures[2].conductor = Conductor::l1;
  const PlaceResult same = judge_room(room, request_for(drawn)).places[0];
  CHECK_FALSE(is_clean(same.prediction->worst));
  CHECK_FALSE(has_finding(same.findings, "relies_on_phases"));
}

TEST_CASE("where no light falls nothing is judged, and why is said") {
  Room room = black_room();
  room.fixtures = {lamp("panel", mains_ripple(50.0, 0.3), {50.0, 50.0, 3.0})};
  room.places = {{"underside", {50.0, 50.0, 1.0}, {0.0, 0.0, -1.0}}};
  RoomRequest request = request_for(shot);
  request.map_height_m = 4.0;
  const RoomResult result = judge_room(room, request);
  CHECK_FALSE(result.places[0].prediction);
  CHECK(result.places[0].illuminance_lux == 0.0);
  CHECK(has_finding(result.places[0].findings, "no_light"));
  for (const auto& row : result.map->cells) {
    for (const MapCell& cell : row) CHECK_FALSE(cell.visibility);
  }
  request.map_height_m = 21.0;
  CHECK_THROWS_AS(judge_room(room, request), UsageError);
}

TEST_CASE("a dimmed fixture gives less light, and its flicker is said to be unproved") {
  Room room = black_room();
  room.fixtures = {lamp("panel", mains_ripple(50.0, 0.3), {50.0, 50.0, 3.0})};
  room.places = {{"table", {50.0, 50.0, 1.0}, up}};
  const RoomResult full = judge_room(room, request_for(shot));
  room.fixtures[0].dim = 0.5;
  const RoomResult half = judge_room(room, request_for(shot));
  CHECK(half.places[0].illuminance_lux == Approx(0.5 * full.places[0].illuminance_lux));
  CHECK(has_finding(half.findings, "dimmed"));
  CHECK_FALSE(has_finding(full.findings, "dimmed"));
}

TEST_CASE("a map that is clean only thanks to the phases says so") {
  Room room = black_room();
  room.size_m = {4.0, 4.0, 3.0};
  room.mains_hz = 50.0;
  for (const Conductor c : {Conductor::l1, Conductor::l2, Conductor::l3}) {
    room.fixtures.push_back(lamp("panel", mains_ripple(50.0, 0.4), {2.0, 2.0, 3.0}));
    room.fixtures.back().conductor = c;
  }
  RoomRequest request = request_for({{25, 1}, 1.0 / 125.0, 0.016, 1080});
  request.map_height_m = 1.0;
  const auto told = [&] { return judge_room(room, request).findings; };
  CHECK(has_finding(told(), "relies_on_phases"));
  room.fixtures[1].conductor = room.fixtures[2].conductor = Conductor::l1;
  CHECK_FALSE(has_finding(told(), "relies_on_phases"));
  // Clean on any conductor: nothing to rely on.
  room.fixtures[1].conductor = Conductor::l2;
  for (Fixture& f : room.fixtures) f.light = mains_ripple(50.0, 0.001);
  CHECK_FALSE(has_finding(told(), "relies_on_phases"));
  // A place that tells it is enough.
  for (Fixture& f : room.fixtures) f.light = mains_ripple(50.0, 0.4);
  room.fixtures[2].conductor = Conductor::l3;
  room.places = {{"table", {2.0, 2.0, 1.0}, up}};
  CHECK_FALSE(has_finding(told(), "relies_on_phases"));
}

TEST_CASE("where the map would flash as a whole the caution is given, with places or without") {
  Room room = black_room();
  room.size_m = {6.0, 4.0, 3.0};
  room.mains_hz = 50.0;
  room.fixtures = {lamp("panel", typical_light("led-rippled", 50.0), {1.0, 2.0, 3.0})};
  RoomRequest request = request_for({{24, 1}, 1.0 / 500.0, 0.0, 1080});
  request.map_height_m = 1.0;
  const auto count = [](const Findings& findings) {
    return std::count_if(findings.begin(), findings.end(),
                         [](const Finding& f) { return f.code == "photosensitive_caution"; });
  };
  CHECK(count(judge_room(room, request).findings) == 1);
  // A place in the dark tells nothing of it; one that flashes tells it itself.
  room.places = {{"underside", {1.0, 2.0, 1.0}, {0.0, 0.0, -1.0}}};
  CHECK(count(judge_room(room, request).findings) == 1);
  room.places = {{"table", {1.0, 2.0, 1.0}, up}};
  const RoomResult lit = judge_room(room, request);
  CHECK(count(lit.findings) == 0);
  CHECK(count(lit.places[0].prediction->findings) == 1);
  room.places.clear();
  request.shot.exposure_s = 1.0 / 50.0;
  CHECK(count(judge_room(room, request).findings) == 0);
}

TEST_CASE("without places a map carries what is doubtful about its worst cell") {
  std::mt19937 random(4306);
  for (int i = 0; i < draws(6); ++i) {
    Room room = random_room(random, 2);
    room.mains_hz = 50.0;
    RoomRequest request = request_for(random_shot(random));
    request.map_height_m = 1.0;
    const RoomResult result = judge_room(room, request);
    const MapCell* worst = &result.map->cells[0][0];
    for (const auto& row : result.map->cells) {
      for (const MapCell& cell : row) {
        if (cell.visibility > worst->visibility) worst = &cell;
      }
    }
    room.places = {{"there", {worst->x_m, worst->y_m, 1.0}, up}};
    const RoomResult there = judge_room(room, request);
    for (const Finding& f : there.places[0].prediction->findings) {
      INFO(f.code);
      CHECK(has_finding(result.findings, f.code));
    }
  }
}

TEST_CASE("nothing is said to be measured of lights that nobody measured") {
  Light light = free_ripple(200.0, 0.5);
  light.depth = DepthKnown::typical;
  const auto words = [&] {
    const std::vector<LightShare> alone = {{light, 1.0}};
    // 1/100 s is two whole cycles as long as the clock is right.
    const Prediction p = predict(alone, {{25, 1}, 0.01, 0.016, 1080}, {});
    const auto found = std::find_if(p.findings.begin(), p.findings.end(),
                                    [](const Finding& f) { return f.code == "own_clock"; });
    REQUIRE(found != p.findings.end());
    return found->message;
  };
  CHECK(words().find("measured") == std::string::npos);
  light.depth = DepthKnown::measured;
  CHECK(words().find("As measured") != std::string::npos);
}

TEST_CASE("names as long as files allow are shortened where they are told") {
  Room room = black_room();
  room.reflected_share_assumed = true;
  const std::string long_name(180, 'n');
  for (const double at_x : {50.0, 51.0}) {
    room.fixtures.push_back(lamp(long_name, mains_ripple(50.0, 0.3), {at_x, 50.0, 3.0}));
    room.fixtures.back().kind = std::to_string(at_x);
    room.fixtures.back().dim = 0.5;
    room.fixtures.back().light.depth = DepthKnown::typical;
    room.fixtures.back().light.findings = {{"doubt", "of its capture"}};
  }
  room.places = {{"table", {50.0, 50.0, 1.0}, up}};
  const RoomResult result = judge_room(room, request_for(shot));
  Findings all = result.findings;
  const Findings& own = result.places[0].prediction->findings;
  all.insert(all.end(), own.begin(), own.end());
  CHECK(has_finding(all, "dimmed"));
  CHECK(has_finding(all, "doubt"));
  for (const Finding& f : all) {
    INFO(f.message);
    CHECK(f.message.find(std::string(60, 'n')) == std::string::npos);
  }
}
