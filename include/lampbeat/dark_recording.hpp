#pragma once

#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"

namespace lampbeat {

/// Mean power density of a recording in a narrow band.
struct NoiseBand {
  double from_hz = 0.0;
  double to_hz = 0.0;
  double density = 0.0;      ///< sample units squared per hertz, one-sided
  double independent = 0.0;  ///< how many independent readings stand behind it
};

/// A line that a recording holds without any light: hum of the cable, a converter beside it.
struct DarkLine {
  double hz = 0.0;
  double amplitude = 0.0;  ///< sample units
  double amplitude_sd = 0.0;
};

/// What sensor, cable and recorder give with the sensor covered. Worth something for captures with
/// the same sensor, gain and rate only.
struct DarkRecording {
  double level = 0.0;            ///< mean, sample units
  std::vector<NoiseBand> bands;  ///< beside the lines, slowest first; empty for a short recording
  std::vector<DarkLine> lines;   ///< strongest first
};

/// Listens to a capture made with the sensor covered. Throws InputError when it holds no samples.
DarkRecording dark_recording(CaptureSource& source);

}  // namespace lampbeat
