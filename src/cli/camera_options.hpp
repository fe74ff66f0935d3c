#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/camera.hpp"

namespace lampbeat::cli {

/// The camera of a shot or a plan, as described on the command line.
struct CameraArguments {
  std::optional<std::string> file;
  std::string mode;
  std::string readout;
  std::optional<int> rows;
};

/// --readout, --rows, --camera and --mode.
void add_camera_options(CLI::App& command, CameraArguments& arguments);

/// The camera file's mode, with what the command line says otherwise.
struct AskedCamera {
  std::optional<FrameRate> fps;     ///< the mode's
  std::optional<double> readout_s;  ///< empty: not known
  int rows = Shot{}.rows;
  std::vector<std::string> shutters;  ///< as on its dial; empty: not listed
};

/// Throws UsageError for what cannot be read, InputError for a bad camera file.
AskedCamera camera_asked_for(const CameraArguments& arguments);

}  // namespace lampbeat::cli
