#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "cli/practice_file.hpp"
#include "cli/session.hpp"
#include "lampbeat/synth.hpp"

namespace lampbeat::cli {

/// The camera of a practice clip, as described on the command line.
struct DescribedCamera {
  std::string fps;
  std::string shutter = "180deg";
  std::string readout;  ///< empty: what predict assumes
  int rows = 1080;
  int columns = 320;
  std::string transfer = "bt709";
  double wall_percent = 40.0;
};

/// Declares the options that describe a camera.
void add_camera_options(CLI::App& command, DescribedCamera& camera);

/// Renders a plain wall in this light as a YUV4MPEG2 clip.
/// Throws UsageError for what cannot be read, OutputError when the clip cannot be written.
void make_clip(const LightRecipe& light, const DescribedCamera& described,
               const PracticeFile& request, const Session& session);

}  // namespace lampbeat::cli
