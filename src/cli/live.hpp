#pragma once

#include <string>

#include "cli/capture_options.hpp"

namespace lampbeat::cli {

/// How the readings of a live recording are shown.
enum class LiveLines {
  people,    ///< in place on a terminal, else a line each on standard output
  programs,  ///< a JSON object a line on standard output
};

/// Measures a recording while it goes on and shows what it reads every half second of it. The end
/// of the stream, or Ctrl-C, ends it, and what all of it came to is returned.
Measurement measure_live(const std::string& path, const CaptureArguments& arguments,
                         const MeasurementSettings& settings, LiveLines lines,
                         const Session& session);

}  // namespace lampbeat::cli
