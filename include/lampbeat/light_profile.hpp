#pragma once

#include <string>

#include "lampbeat/light.hpp"

namespace lampbeat {

/// A light profile: the saved form of a Light, and back.
/// Throws InputError naming the file and what is wrong in it.
std::string light_profile(const Light& light);
Light read_light_profile(const std::string& path);
/// Whether a file looks like a light profile (JSON text) rather than a capture.
bool is_light_profile(const std::string& path);

}  // namespace lampbeat
