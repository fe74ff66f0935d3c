#include "records/room_reader.hpp"

#include <fmt/format.h>

#include <array>
#include <filesystem>
#include <string_view>
#include <utility>

#include "words/foreign_text.hpp"

namespace lampbeat::records {

namespace {

constexpr const char* a_room = "a room file ('lampbeat room --example' writes one to start from)";
constexpr std::size_t most_fixtures = 1000;
constexpr std::size_t most_places = 1000;
// Limits beyond the rooms people film in and the lamps that are built; they catch slips of the
// unit: a room of 6 × 5 × 3 m in centimetres is longer and higher than any, and kilometres are
// shorter.
constexpr double smallest_side_m = 0.1;
constexpr double longest_side_m = 200.0;
constexpr double greatest_height_m = 50.0;
constexpr double most_lumens = 1e8;
constexpr double least_half_angle_deg = 1.0;
constexpr double most_half_angle_deg = 89.0;
constexpr double most_reflected = 0.95;

constexpr auto room_keys = std::to_array<std::string_view>(
    {"schema", "version", "measurement_version", "name", "comment", "notes", "size_m",
     "reflected_share", "mains_hz", "places", "fixtures"});
constexpr auto fixture_keys = std::to_array<std::string_view>(
    {"name", "profile", "typical", "at_m", "length_m", "along", "aim", "lumens", "dim", "bare",
     "half_angle_deg", "circuit", "phase", "comment", "notes"});
constexpr auto place_keys =
    std::to_array<std::string_view>({"name", "at_m", "facing", "comment", "notes"});

}  // namespace

RoomReader::RoomReader(const std::string& path)
    : TypedValues(path),
      root_(files::json::read_typed_document(path, "lampbeat.room-file", a_room)) {}

RoomFile RoomReader::room() {
  file_.path = path();
  Room& room = file_.room;
  note_keys(root_, "", room_keys);
  if (has(root_, "name")) room.name = text(root_, "", "name");
  if (has(root_, "mains_hz")) room.mains_hz = between(root_, "", "mains_hz", 10.0, 1000.0);
  read_size();
  room.reflected_share_assumed = !has(root_, "reflected_share");
  if (!room.reflected_share_assumed) {
    room.reflected_share = between(root_, "", "reflected_share", 0.0, most_reflected);
  }
  const Json& fixtures = list("fixtures", most_fixtures);
  if (fixtures.empty()) refuse("\"fixtures\" should hold at least one fixture");
  std::set<std::string> taken;
  for (std::size_t i = 0; i < fixtures.size(); ++i) read_fixture(fixtures[i], i, taken);
  if (has(root_, "places")) {
    const Json& places = list("places", most_places);
    taken.clear();
    for (std::size_t i = 0; i < places.size(); ++i) read_place(places[i], i, taken);
  }
  return file_;
}

void RoomReader::note_keys(const Json& object, const std::string& where,
                           std::span<const std::string_view> known) {
  for (Finding& finding : look_over_keys(object, where, known)) {
    file_.room.findings.push_back(std::move(finding));
  }
}

Vector3 RoomReader::place_in_room(const Json& object, const std::string& where) const {
  const Vector3 at_m = three(object, where, "at_m");
  const Vector3& size_m = file_.room.size_m;
  const auto inside = [](double at, double side) {
    constexpr double rounding_m = 1e-6;
    return at >= -rounding_m && at <= side + rounding_m;
  };
  if (!inside(at_m.x, size_m.x) || !inside(at_m.y, size_m.y) || !inside(at_m.z, size_m.z)) {
    refuse(
        fmt::format("{}\"at_m\" [{:g}, {:g}, {:g}] lies outside the room of {:g} × {:g} × {:g} "
                    "m; positions count from one corner of the floor",
                    where, at_m.x, at_m.y, at_m.z, size_m.x, size_m.y, size_m.z));
  }
  return at_m;
}

const files::json::Json& RoomReader::list(const char* key, std::size_t most) const {
  if (!has(root_, key) || !root_[key].is_array())
    refuse(fmt::format("\"{}\" should be a list", key));
  if (root_[key].size() > most) refuse(fmt::format("more than {} {}", most, key));
  return root_[key];
}

std::string RoomReader::name_of(const Json& entry, const char* what, std::size_t index,
                                std::set<std::string>& taken) const {
  const std::string where = fmt::format("{} {}: ", what, index + 1);
  if (!entry.is_object()) refuse(where + "should be an object with \"name\" and \"at_m\"");
  std::string name = text(entry, where, "name");
  if (!taken.insert(name).second) {
    refuse(fmt::format("two {}s are called '{}'", what, words::shown_name(name)));
  }
  return name;
}

void RoomReader::read_size() {
  Vector3& size_m = file_.room.size_m;
  size_m = three(root_, "", "size_m");
  const auto check = [&](double side_m, const char* what, double most_m) {
    if (side_m >= smallest_side_m && side_m <= most_m) return;
    refuse(fmt::format("\"size_m\" holds {:g}; {} is {:g} to {:g} m.{}", side_m, what,
                       smallest_side_m, most_m,
                       side_m > most_m ? " Are these centimetres? All lengths are in metres" : ""));
  };
  check(size_m.x, "the length of a room", longest_side_m);
  check(size_m.y, "its width", longest_side_m);
  check(size_m.z, "its height", greatest_height_m);
}

void RoomReader::read_fixture(const Json& entry, std::size_t index, std::set<std::string>& taken) {
  Fixture fixture;
  fixture.name = name_of(entry, "fixture", index, taken);
  const std::string where = fmt::format("fixture '{}': ", words::shown_name(fixture.name));
  note_keys(entry, where, fixture_keys);
  read_source(entry, where);
  fixture.at_m = place_in_room(entry, where);
  fixture.lumens = number(entry, where, "lumens");
  if (!(fixture.lumens > 0.0 && fixture.lumens <= most_lumens)) {
    refuse(
        fmt::format("{}\"lumens\" is {:g}; it must be above 0 and at most {:g} (\"dim\": 0 "
                    "switches a fixture off)",
                    where, fixture.lumens, most_lumens));
  }
  if (has(entry, "dim")) fixture.dim = between(entry, where, "dim", 0.0, 1.0);
  read_shape(entry, where, fixture);
  if (has(entry, "circuit")) fixture.circuit = text(entry, where, "circuit");
  if (has(entry, "phase")) {
    const std::string words = text(entry, where, "phase");
    const auto conductor = conductor_of(words);
    if (!conductor) {
      refuse(
          fmt::format("{}\"phase\" is \"{}\"; it is \"L1\", \"L2\" or \"L3\" of a three-phase "
                      "supply, or \"A\" or \"B\" of a split-phase one",
                      where, words::excerpt(words)));
    }
    fixture.conductor = *conductor;
  }
  file_.room.fixtures.push_back(std::move(fixture));
}

void RoomReader::read_source(const Json& entry, const std::string& where) {
  const bool profile = has(entry, "profile");
  if (profile == has(entry, "typical")) {
    refuse(where + (profile ? "has both \"profile\" and \"typical\"; which of them is it?"
                            : "\"profile\" is missing: a light saved by 'lampbeat measure --save', "
                              "or \"typical\", a name from 'lampbeat predict --list-typical'"));
  }
  LightSource source;
  if (profile) {
    const std::filesystem::path named = text(entry, where, "profile");
    source.profile = (std::filesystem::path(path()).parent_path() / named).string();
  } else {
    source.typical = text(entry, where, "typical");
  }
  file_.sources.push_back(std::move(source));
}

void RoomReader::read_shape(const Json& entry, const std::string& where, Fixture& fixture) const {
  if (has(entry, "length_m")) {
    fixture.length_m = between(entry, where, "length_m", 0.0, longest_side_m);
  }
  if (has(entry, "along")) fixture.along = direction(entry, where, "along");
  if (has(entry, "aim")) fixture.aim = direction(entry, where, "aim");
  if (has(entry, "half_angle_deg")) {
    fixture.half_angle_deg =
        between(entry, where, "half_angle_deg", least_half_angle_deg, most_half_angle_deg);
  }
  if (has(entry, "bare")) {
    if (!entry["bare"].is_boolean()) refuse(where + "\"bare\" should be true or false");
    fixture.bare = entry["bare"].get<bool>();
  }
  if ((fixture.length_m > 0.0 || fixture.bare) && !has(entry, "along")) {
    refuse(where + "\"along\" is missing: the direction of a tube, such as [1, 0, 0]");
  }
  if (fixture.bare && fixture.half_angle_deg) {
    refuse(where + "a bare tube shines all round, so it has no \"half_angle_deg\"");
  }
}

void RoomReader::read_place(const Json& entry, std::size_t index, std::set<std::string>& taken) {
  Place place;
  place.name = name_of(entry, "place", index, taken);
  const std::string where = fmt::format("place '{}': ", words::shown_name(place.name));
  note_keys(entry, where, place_keys);
  place.at_m = place_in_room(entry, where);
  if (has(entry, "facing")) place.facing = direction(entry, where, "facing");
  file_.room.places.push_back(std::move(place));
}

}  // namespace lampbeat::records
