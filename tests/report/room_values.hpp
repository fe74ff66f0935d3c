#pragma once

#include <cmath>
#include <string>

#include "lampbeat/room.hpp"
#include "report/example_values.hpp"

// Rooms made by hand, for tests of how they are shown.

namespace example {

inline lampbeat::Fixture fixture(const std::string& name, const std::string& kind,
                                 lampbeat::Vector3 at_m, double lumens) {
  lampbeat::Fixture f;
  f.name = name;
  f.kind = kind;
  f.light = panel_light();
  f.at_m = at_m;
  f.lumens = lumens;
  return f;
}

/// A map of these verdicts, written row by row from y = 0 on: c, b, v, s and "." for no light.
inline lampbeat::RoomMap map_of(const std::vector<std::string>& rows, double step_m) {
  using namespace lampbeat;
  RoomMap map;
  map.height_m = 1.0;
  map.step_m = step_m;
  for (std::size_t row = 0; row < rows.size(); ++row) {
    map.cells.emplace_back();
    for (std::size_t column = 0; column < rows[row].size(); ++column) {
      MapCell cell;
      cell.x_m = (static_cast<double>(column) + 0.5) * step_m;
      cell.y_m = (static_cast<double>(row) + 0.5) * step_m;
      const std::string_view looks = "cbvs";
      const std::size_t verdict = looks.find(rows[row][column]);
      if (verdict != std::string_view::npos) {
        cell.verdict = static_cast<Verdict>(verdict);
        cell.visibility = 0.31 * std::pow(3.1, static_cast<double>(verdict));
        cell.illuminance_lux =
            60.0 + 500.0 * std::exp(-std::hypot(cell.x_m - 4.0, cell.y_m - 2.0) / 2.0);
      }
      map.cells.back().push_back(cell);
    }
  }
  return map;
}

inline lampbeat::PlaceResult judged_place(const std::string& name, lampbeat::Vector3 at_m,
                                          double exposure_s) {
  using namespace lampbeat;
  PlaceResult p;
  p.place.name = name;
  p.place.at_m = at_m;
  p.shares = {{0, 210.25, 80.5, 0.0}, {2, 60.75, 15.5, 0.0}};
  for (const FixtureShare& s : p.shares) p.illuminance_lux += s.lux();
  for (FixtureShare& s : p.shares) s.share = s.lux() / p.illuminance_lux;
  const std::vector<LightShare> lights = {{panel_light(), 1.0}};
  p.prediction = predict(lights, Shot{{24, 1}, exposure_s, 0.016, 1080}, {});
  return p;
}

/// The teaching kitchen: one clean place, one ruined, one in the dark.
inline lampbeat::RoomResult kitchen() {
  using namespace lampbeat;
  RoomResult r;
  r.room.name = "teaching kitchen";
  r.room.size_m = {6.0, 4.0, 2.7};
  r.room.reflected_share_assumed = true;
  r.room.fixtures = {fixture("ceiling panel", "panel.json", {1.6, 2.0, 2.7}, 3600.0),
                     fixture("larder spot", "halogen", {5.5, 0.5, 2.5}, 300.0),
                     fixture("worktop strip", "led-pwm", {3.0, 3.8, 1.5}, 1600.0),
                     fixture("store tube", "tube-magnetic", {5.6, 2.0, 2.6}, 2500.0)};
  r.room.fixtures[1].half_angle_deg = 30.0;
  r.room.fixtures[1].dim = 0.0;
  r.room.fixtures[2].length_m = 2.4;
  r.room.fixtures[2].along = {1.0, 0.0, 0.0};
  r.room.fixtures[2].circuit = "worktop";
  r.room.fixtures[2].conductor = Conductor::l2;
  r.room.fixtures[3].length_m = 1.2;
  r.room.fixtures[3].along = {0.0, 1.0, 0.0};
  r.room.fixtures[3].bare = true;
  r.shot = Shot{{24, 1}, 1.0 / 250.0, 0.016, 1080};
  r.options.mains_hz = 60.0;
  r.places = {judged_place("table", {3.0, 2.0, 0.9}, 1.0 / 60.0),
              judged_place("cook's face", {3.0, 3.0, 1.6}, 1.0 / 500.0),
              {}};
  r.places[1].place.facing = {0.0, -1.0, 0.0};
  const ShutterPlan plan = kitchen_plan({"1/60", "1/120"}, {"24"});
  r.places[1].best = plan.settings;
  RoomChange off;
  off.fixture = 2;
  off.illuminance_after_lux = 290.75;
  RoomChange add;
  add.action = RoomAction::add_steady_light;
  add.steady_lux = 950.0;
  add.verdict_after = Verdict::borderline;
  add.illuminance_after_lux = 1317.0;
  r.places[1].changes = {off, add};
  r.places[2].place.name = "larder";
  r.places[2].place.at_m = {5.5, 1.2, 1.0};
  r.places[2].findings = {{"no_light", "No light of these fixtures falls on it."}};
  r.findings = {{"no_photometric_design", "This is no photometric design."},
                {"licensed_work", "Moving circuits is work for licensed people."}};
  r.map = map_of({"ccccbbvvss..", "ccccbbvvss..", "ccccbbvvsss.", "ccccbbvvssss", "cccbbbvvssss",
                  "cccbbvvvssss", "ccbbbvvvsssb", "cbbbvvvvsssb"},
                 0.5);
  return r;
}

/// As many fixtures as there are, close together or not, each with a name of its own.
inline lampbeat::RoomResult crowded(int fixtures) {
  using namespace lampbeat;
  RoomResult r = kitchen();
  r.room.fixtures.clear();
  for (int i = 0; i < fixtures; ++i) {
    const double turn = 2.4 * i;
    const double out = 0.19 * std::sqrt(i);
    r.room.fixtures.push_back(
        fixture("downlight " + std::to_string(i), "halogen",
                {3.0 + 1.5 * out * std::cos(turn), 2.0 + out * std::sin(turn), 2.7}, 400.0));
  }
  for (PlaceResult& p : r.places) {
    p.shares.clear();
    p.changes.clear();
    for (std::size_t i = 0; i < r.room.fixtures.size(); ++i) {
      p.shares.push_back({i, 3.0, 1.0, 1.0 / static_cast<double>(fixtures)});
    }
  }
  return r;
}

}  // namespace example
