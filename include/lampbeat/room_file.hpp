#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/light.hpp"
#include "lampbeat/room.hpp"

namespace lampbeat {

/// Where a fixture's light comes from; one of the two is empty.
struct LightSource {
  std::string profile;  ///< a file, its path already resolved against the room file's folder
  std::string typical;  ///< the name of a typical light
};

/// A room file as read: the room whose fixtures have no light yet, and where to take it from.
struct RoomFile {
  std::string path;
  Room room;
  std::vector<LightSource> sources;  ///< one for each fixture
};

/// Reads a room file, or standard input for "-". Throws InputError naming the file, the fixture or
/// place and the key, and what was expected instead.
RoomFile read_room(const std::string& path);

/// Opens a file as a light: a profile, or whatever else the caller can measure.
using LightOpener = std::function<Light(const std::string& path)>;

/// The room with its lights, each file opened once. Typical lights are taken on the mains asked
/// for, else on the file's, else on that of the first profile that follows one. Throws InputError
/// where none is known, and what `open` throws.
Room lit_room(const RoomFile& file, std::optional<double> asked_mains_hz, const LightOpener& open);

/// A starter to edit: a small teaching kitchen, with notes, that can be judged as it stands.
std::string example_room();

}  // namespace lampbeat
