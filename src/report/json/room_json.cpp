#include "files/json.hpp"
#include "lampbeat/json.hpp"
#include "report/json/shared_parts.hpp"

namespace lampbeat {

namespace {

using files::json::Json;
using files::json::number;

Json three(const Vector3& v) { return {number(v.x), number(v.y), number(v.z)}; }

Json shares(const PlaceResult& place, const Room& room) {
  Json list = Json::array();
  for (const FixtureShare& s : place.shares) {
    list.push_back({{"fixture", room.fixtures[s.fixture].name},
                    {"share", number(s.share)},
                    {"direct_lux", number(s.direct_lux)},
                    {"reflected_lux", number(s.reflected_lux)}});
  }
  return list;
}

Json best(const PlaceResult& place) {
  Json list = Json::array();
  for (const Setting& s : place.best) {
    list.push_back({{"fps", number(s.fps.per_s())},
                    {"exposure_s", number(s.exposure_s)},
                    {"label", s.label},
                    {"band_percent", number(s.worst.band_percent)},
                    {"visibility", number(s.worst.visibility)},
                    {"verdict", verdict_word(s.worst.verdict)}});
  }
  return list;
}

Json change(const RoomChange& c, const Room& room) {
  return {{"action", action_words(c)},
          {"fixture", c.fixture ? Json(room.fixtures[*c.fixture].name) : Json(nullptr)},
          {"steady_lux", number(c.steady_lux)},
          {"verdict_after", verdict_word(c.verdict_after)},
          {"visibility_after", number(c.visibility_after)},
          {"illuminance_after_lux", number(c.illuminance_after_lux)}};
}

/// Beside the worst case, which the figures of a place are.
Json as_measured(const std::optional<Prediction>& p) {
  if (!p) return nullptr;
  return {{"band_percent", number(p->nominal.band_percent)},
          {"pulse_percent", number(p->nominal.pulse_percent)},
          {"visibility", number(p->nominal.visibility)},
          {"verdict", verdict_word(p->nominal.verdict)}};
}

Json place(const PlaceResult& p, const Room& room) {
  const auto worst = [&](double Recorded::*figure) {
    return p.prediction ? number(p.prediction->worst.*figure) : Json(nullptr);
  };
  Json result = {
      {"place", p.place.name},
      {"at_m", three(p.place.at_m)},
      {"facing", three(p.place.facing)},
      {"shares", shares(p, room)},
      {"illuminance_lux", number(p.illuminance_lux)},
      {"band_percent", worst(&Recorded::band_percent)},
      {"pulse_percent", worst(&Recorded::pulse_percent)},
      {"visibility", worst(&Recorded::visibility)},
      {"verdict", p.prediction ? Json(verdict_word(p.prediction->worst.verdict)) : Json(nullptr)},
      {"as_measured", as_measured(p.prediction)},
      {"best", best(p)},
      {"slower", report::json::slower_rate(p.slower)},
      {"change", p.changes.empty() ? Json(nullptr) : change(p.changes.front(), room)},
      {"other_changes", Json::array()}};
  for (std::size_t i = 1; i < p.changes.size(); ++i) {
    result["other_changes"].push_back(change(p.changes[i], room));
  }
  Findings findings = p.findings;
  if (p.prediction) {
    findings.insert(findings.end(), p.prediction->findings.begin(), p.prediction->findings.end());
  }
  result["warnings"] = files::json::list_of(findings);
  return result;
}

template <typename Value>
Json grid(const RoomMap& map, Value value) {
  Json rows = Json::array();
  for (const std::vector<MapCell>& row : map.cells) {
    Json cells = Json::array();
    for (const MapCell& cell : row) cells.push_back(value(cell));
    rows.push_back(std::move(cells));
  }
  return rows;
}

Json map_object(const std::optional<RoomMap>& map) {
  if (!map) return nullptr;
  Json result = {{"height_m", number(map->height_m)},
                 {"step_m", number(map->step_m)},
                 {"x_m", Json::array()},
                 {"y_m", Json::array()}};
  for (const MapCell& cell : map->cells.front()) result["x_m"].push_back(number(cell.x_m));
  for (const auto& row : map->cells) result["y_m"].push_back(number(row.front().y_m));
  result["visibility"] = grid(*map, [](const MapCell& c) { return number(c.visibility); });
  result["verdict"] = grid(*map, [](const MapCell& c) {
    return c.visibility ? Json(verdict_word(c.verdict)) : Json(nullptr);
  });
  result["illuminance_lux"] =
      grid(*map, [](const MapCell& c) { return number(c.illuminance_lux); });
  return result;
}

/// What is assumed beside the lights and the shot: lines of two rooms compare where it is the same.
/// Null where each light's own, or what is usual, was taken.
Json judged_with(const PredictionOptions& o) {
  return {{"mains_tolerance_hz", number(o.mains_tolerance_hz)},
          {"clock_tolerance_percent", number(o.clock_tolerance_percent)},
          {"viewing_distance_heights", number(o.viewing.distance_heights)},
          {"screen_cd_m2", number(o.viewing.screen_cd_m2)},
          {"recording_bits", o.viewing.recording_bits},
          {"camera_noise_percent", number(o.viewing.noise_percent)},
          {"playback_fps", number(o.viewing.playback_fps)}};
}

}  // namespace

std::string to_json(const RoomResult& r) {
  Json document = files::json::document("lampbeat.room/1");
  document["room"] = r.room.name.empty() ? Json(nullptr) : Json(r.room.name);
  document["size_m"] = three(r.room.size_m);
  document["reflected_share"] = number(r.room.reflected_share);
  document["mains_hz"] = number(r.options.mains_hz);
  document["fps"] = number(r.shot.fps.per_s());
  document["exposure_s"] = number(r.shot.exposure_s);
  document["shutter_deg"] = number(shutter_angle_deg(r.shot.exposure_s, r.shot.fps));
  document["readout_s"] = number(r.shot.readout_s);
  document["judged_with"] = judged_with(r.options);
  document["places"] = Json::array();
  for (const PlaceResult& p : r.places) document["places"].push_back(place(p, r.room));
  document["map"] = map_object(r.map);
  document["warnings"] = files::json::list_of(r.findings);
  return files::json::one_line(document);
}

}  // namespace lampbeat
