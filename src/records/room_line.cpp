#include "records/room_line.hpp"

#include <fmt/format.h>

#include "lampbeat/error.hpp"
#include "records/line_keys.hpp"
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
  return shot;
}

OccasionFigure figure(const Json& place, const char* name, const char* what, const char* unit,
                      double most) {
  return {name, what, unit, FigureRole::detail, number(place, name, 0.0, most), {}, {}};
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
    occasion.seen = verdict_in(place);
    constexpr double any = 1e9;
    occasion.figures = {figure(place, "visibility", "visibility", "", any),
                        figure(place, "band_percent", "bands", "%", 100.0),
                        figure(place, "illuminance_lux", "light level", "lux", any)};
  }
  return places;
}

}  // namespace lampbeat::records
