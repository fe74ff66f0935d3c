#include "lampbeat/room_file.hpp"

#include <fmt/format.h>

#include <map>

#include "files/whole_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/typical.hpp"
#include "records/room_reader.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat {

namespace {

std::string where_of(const RoomFile& file, std::size_t fixture) {
  return fmt::format("{}: fixture '{}': ", file.path,
                     words::shown_name(file.room.fixtures[fixture].name));
}

/// Two copies of one profile are one kind of light: then what is in them counts, not their names.
std::string kind_of(const std::string& path, std::map<std::string, std::string>& seen) {
  constexpr std::size_t most_bytes = 4'000'000;
  if (!is_light_profile(path)) return path;
  return seen.try_emplace(files::whole_file(path, most_bytes, "a light profile"), path)
      .first->second;
}

/// The mains a light follows in any of its states.
std::optional<double> mains_followed(const Light& light) {
  for (const Light& state : states_of(light)) {
    for (const LightComponent& c : state.components) {
      if (c.mains_order && state.mains_hz) return nominal_mains_hz(*state.mains_hz);
    }
  }
  return std::nullopt;
}

void open_profiles(const RoomFile& file, const LightOpener& open, std::vector<Fixture>& fixtures) {
  std::map<std::string, Light> opened;
  std::map<std::string, std::string> seen;
  for (std::size_t i = 0; i < fixtures.size(); ++i) {
    const std::string& path = file.sources[i].profile;
    if (path.empty()) continue;
    const auto known = opened.find(path);
    if (known == opened.end()) {
      try {
        fixtures[i].light = open(path);
      } catch (const InputError& error) {
        throw InputError(where_of(file, i) + error.what());
      }
      opened.emplace(path, fixtures[i].light);
    } else {
      fixtures[i].light = known->second;
    }
    fixtures[i].kind = kind_of(path, seen);
  }
}

}  // namespace

RoomFile read_room(const std::string& path) { return records::RoomReader(path).room(); }

Room lit_room(const RoomFile& file, std::optional<double> asked_mains_hz, const LightOpener& open) {
  Room room = file.room;
  open_profiles(file, open, room.fixtures);
  std::optional<double> mains_hz = asked_mains_hz ? asked_mains_hz : room.mains_hz;
  for (const Fixture& fixture : room.fixtures) {
    if (!mains_hz) mains_hz = mains_followed(fixture.light);
  }
  for (std::size_t i = 0; i < room.fixtures.size(); ++i) {
    const std::string& name = file.sources[i].typical;
    if (name.empty()) continue;
    if (!mains_hz) {
      throw InputError(fmt::format(
          "{}: \"mains_hz\" is missing: 50 or 60, for the typical lights (or give --mains)",
          file.path));
    }
    try {
      room.fixtures[i].light = typical_light(name, *mains_hz);
    } catch (const UsageError& error) {
      throw InputError(where_of(file, i) + "\"typical\": " + error.what());
    }
    room.fixtures[i].kind = "typical " + name;
  }
  return room;
}

}  // namespace lampbeat
