#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lampbeat/shot.hpp"

namespace lampbeat {

/// One recording mode of a camera.
struct CameraMode {
  std::string name;  ///< as in its menu: "Full HD slow"
  FrameRate fps;
  int rows = 1080;
  std::optional<double> readout_s;    ///< 0 global; empty when nobody measured it
  std::vector<std::string> shutters;  ///< as written on the dial; empty: not listed
};

/// A camera typed in once. Read from and written to JSON by the report module.
struct Camera {
  std::string name;
  std::vector<CameraMode> modes;
};

/// The mode of this name, whatever its capitals; with an empty name the only mode there is.
/// Throws UsageError listing the modes when there is no such mode, or no name and several modes.
const CameraMode& mode_named(const Camera& camera, const std::string& name);

}  // namespace lampbeat
