#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <optional>
#include <string>

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

/// What the clip shares with every other practice file.
struct ClipRequest {
  std::string output;  ///< "-" is standard output
  double seconds = 3.0;
  std::optional<int> bits;              ///< default 8
  std::optional<double> noise_percent;  ///< default 1
  std::uint64_t seed = 1;
};

/// Renders a plain wall in this light as a YUV4MPEG2 clip.
/// Throws UsageError for what cannot be read, OutputError when the clip cannot be written.
void make_clip(const LightRecipe& light, const DescribedCamera& described,
               const ClipRequest& request, const Session& session);

}  // namespace lampbeat::cli
