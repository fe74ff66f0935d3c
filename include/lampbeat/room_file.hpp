#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/room.hpp"

namespace lampbeat {

/// Opens what a room file names as a light: a profile, or whatever else the caller can measure.
using LightOpener = std::function<Light(const std::string& path)>;

/// Reads a room file; profiles are looked for beside it. Typical lights are taken on the mains
/// asked for, else on the file's, else on that of the first profile. Throws InputError naming the
/// file, the fixture or place and the key, and what was expected instead.
Room read_room(const std::string& path, std::optional<double> asked_mains_hz,
               const LightOpener& open);

/// The files a room file names, as they will be opened. Throws InputError.
std::vector<std::string> files_of_room(const std::string& path);

/// A starter to edit: a small teaching kitchen, with notes, that reads as it stands.
std::string example_room();

}  // namespace lampbeat
