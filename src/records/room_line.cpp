#include "records/room_line.hpp"

#include <fmt/format.h>

#include <array>
#include <utility>

#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "records/line_keys.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::records {

namespace {

using files::json::Json;

/// The shot that places are judged for, where the line says it.
std::vector<Condition> shot_of(const Json& room) {
  std::vector<Condition> shot;
  if (const auto fps = number(room, "fps", 0.0, 1e6)) {
    shot.push_back({"frame rate", fmt::format("{:.3f} fps", *fps), true});
  }
  if (const auto exposure_s = number(room, "exposure_s", 0.0, 10.0)) {
    shot.push_back({"shutter", words::duration(*exposure_s), true});
  }
  if (const auto readout_s = number(room, "readout_s", 0.0, 10.0)) {
    shot.push_back({"readout", words::duration(*readout_s), true});
  }
  const auto mains_hz = number(room, "mains_hz", 0.0, 1e4);
  // Not how it ran that day: a room is judged for any.
  shot.push_back({"mains",
                  mains_hz ? words::hertz(nominal_mains_hz(*mains_hz)) : std::string("not known"),
                  true});
  return shot;
}

/// What was assumed beside the lights, where the line says it.
void add_assumptions(std::vector<Condition>& set_up, const Json& room) {
  if (!has(room, "judged_with") || !room["judged_with"].is_object()) return;
  struct Assumed {
    const char* key;
    const char* name;
    const char* unit;
  };
  constexpr std::array all = {Assumed{"mains_tolerance_hz", "mains tolerance", " Hz"},
                              Assumed{"clock_tolerance_percent", "clock tolerance", " %"},
                              Assumed{"viewing_distance_heights", "viewing distance", " heights"},
                              Assumed{"screen_cd_m2", "screen", " cd/m²"},
                              Assumed{"recording_bits", "recording", " bits"},
                              Assumed{"camera_noise_percent", "camera noise", " %"},
                              Assumed{"playback_fps", "playback", " fps"}};
  for (const Assumed& a : all) {
    const auto value = number(room["judged_with"], a.key, 0.0, 1e9);
    set_up.push_back({a.name, value ? words::in_digits(*value) + a.unit : "as usual", true});
  }
}

/// A place that moved, or looks another way, is another.
void add_position(std::vector<Condition>& set_up, const Json& place) {
  for (const auto& [key, name] :
       {std::pair{"at_m", "position"}, std::pair{"facing", "direction it faces"}}) {
    if (has(place, key)) set_up.push_back({name, place[key].dump(), true});
  }
}

OccasionFigure figure(const Json& place, const char* name, const char* what, const char* unit,
                      double most, FigureRole role = FigureRole::detail) {
  return {name, what, unit, role, number(place, name, 0.0, most), {}, {}};
}

}  // namespace

std::vector<Occasion> places_of_room(const Json& document) {
  if (!has(document, "places") || !document["places"].is_array()) {
    throw InputError("\"places\" should be a list; expected a line of 'lampbeat room --json'");
  }
  std::vector<Occasion> places;
  for (const Json& place : document["places"]) {
    Occasion& occasion = places.emplace_back();
    occasion.kind = OccasionKind::place;
    occasion.fixture = text(place, "place");
    occasion.source = has(document, "room") && document["room"].is_string() ? text(document, "room")
                                                                            : std::string("a room");
    occasion.measurement_version = version_in(document);
    occasion.set_up = shot_of(document);
    add_assumptions(occasion.set_up, document);
    add_position(occasion.set_up, place);
    occasion.seen = verdict_in(place);
    constexpr double any = 1e9;
    occasion.figures = {figure(place, "visibility", "visibility", "", any, FigureRole::rough_depth),
                        figure(place, "band_percent", "bands", "%", 100.0),
                        figure(place, "illuminance_lux", "light level", "lux", any)};
  }
  return places;
}

}  // namespace lampbeat::records
