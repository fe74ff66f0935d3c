#pragma once

#include <string>

#include "lampbeat/camera.hpp"

namespace lampbeat {

/// A camera file: modes with frame rate, rows, readout and the shutters on the dial, in the words a
/// person would type. Throws InputError naming the file, the mode and the key, and what was
/// expected instead.
Camera read_camera(const std::string& path);
/// The same file written out, for people to edit; with every key it had, whoever put it there.
std::string camera_json(const Camera& camera);

}  // namespace lampbeat
