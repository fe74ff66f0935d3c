#pragma once

#include <optional>
#include <string>

#include "lampbeat/camera.hpp"

namespace lampbeat::cli {

/// A readout that was measured, and where it is to be kept.
struct MeasuredReadout {
  double readout_s = 0.0;
  FrameRate fps;
  int rows = 0;
};

/// The camera with the readout filled into one of its modes: the one called `mode`, else the one of
/// this rate and as many rows, else a new one. All else stays. Throws UsageError, which names the
/// modes, where it could be several, or where the one named has another rate.
Camera with_readout(Camera camera, const MeasuredReadout& measured, const std::string& mode);

/// The camera of a file, or a new one without modes where there is no such file. `name` is what it
/// is to be called; empty: as it is.
Camera camera_to_complete(const std::string& path, const std::string& name);

}  // namespace lampbeat::cli
