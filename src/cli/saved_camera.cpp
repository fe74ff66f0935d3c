#include "cli/saved_camera.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>
#include <utility>
#include <vector>

#include "lampbeat/camera_file.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"
#include "words/lists.hpp"

namespace lampbeat::cli {

namespace {

using Modes = std::vector<CameraMode*>;

Modes at_rate(Camera& camera, FrameRate fps) {
  Modes modes;
  for (CameraMode& mode : camera.modes) {
    if (mode.fps == fps) modes.push_back(&mode);
  }
  return modes;
}

std::string named(const Modes& modes) {
  std::vector<std::string> names;
  for (const CameraMode* mode : modes) names.push_back(words::quoted(mode->name));
  return words::listed(names);
}

std::string filmed(const MeasuredReadout& m) {
  return fmt::format("{} rows at {} frames a second", m.rows, frame_rate_label(m.fps));
}

/// Whatever its capitals, as everywhere; null where there is none.
CameraMode* called(Camera& camera, const std::string& name) {
  const auto found =
      std::find_if(camera.modes.begin(), camera.modes.end(), [&](const CameraMode& mode) {
        const Camera alone{camera.name, {mode}};
        try {
          return mode_named(alone, name).name == mode.name;
        } catch (const UsageError&) {
          return false;
        }
      });
  return found == camera.modes.end() ? nullptr : &*found;
}

/// The mode the clip was filmed in; null where it is not among them.
CameraMode* mode_of(Camera& camera, const MeasuredReadout& measured) {
  const Modes modes = at_rate(camera, measured.fps);
  Modes alike;
  for (CameraMode* mode : modes) {
    if (mode->rows == measured.rows) alike.push_back(mode);
  }
  if (alike.size() == 1) return alike.front();
  if (modes.empty()) return nullptr;
  throw UsageError(fmt::format(
      "this clip has {}, and {}: say which of them it was, or a new name, with --mode",
      filmed(measured),
      alike.empty() ? fmt::format("the camera's {} at that rate has other rows", named(modes))
                    : fmt::format("the camera's {} have as many", named(alike))));
}

}  // namespace

Camera with_readout(Camera camera, const MeasuredReadout& measured, const std::string& mode) {
  CameraMode* filled = mode.empty() ? mode_of(camera, measured) : called(camera, mode);
  if (filled && !(filled->fps == measured.fps)) {
    throw UsageError(fmt::format("--mode {} records {} frames a second, and this clip has {}",
                                 words::quoted(mode), frame_rate_label(filled->fps),
                                 filmed(measured)));
  }
  if (filled) {
    filled->readout_s = measured.readout_s;
    return camera;
  }
  CameraMode added;
  added.fps = measured.fps;
  added.rows = measured.rows;
  added.name =
      mode.empty() ? fmt::format("{} rows at {}", added.rows, frame_rate_label(added.fps)) : mode;
  added.readout_s = measured.readout_s;
  camera.modes.push_back(std::move(added));
  return camera;
}

Camera camera_to_complete(const std::string& path, const std::string& name) {
  Camera camera;
  std::error_code ignored;
  if (path != "-" && std::filesystem::exists(path, ignored)) {
    camera = read_camera(path);
  } else {
    camera.name = "my camera";
  }
  if (!name.empty()) camera.name = name;
  return camera;
}

}  // namespace lampbeat::cli
