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

}  // namespace lampbeat
