#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>

#include "lampbeat/footage.hpp"

namespace lampbeat::cli {

/// How clips are read and what is known of camera and light: shared by every command that measures
/// them.
struct ClipArguments {
  std::string fps;
  std::string transfer;
  std::optional<bool> full_range;
  std::string reference;
  bool plain_wall = false;
  std::optional<double> light_hz;
  std::string readout;
  std::string shutter;

  /// With the words read that stand for a clip of this format.
  FootageSettings resolved(const ClipFormat& format) const;
};

void add_clip_options(CLI::App& command, ClipArguments& arguments);

/// Opens, reads and measures one clip; `suspects` are lights that may have made its bands.
FootageResult measure_clip(const std::string& path, const ClipArguments& arguments,
                           std::vector<Light> suspects = {});

}  // namespace lampbeat::cli
