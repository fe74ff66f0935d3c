#pragma once

#include <optional>

namespace lampbeat {

/// What was said of sensor and recorder when a light was measured. Figures of the same light differ
/// where this does, so that two measurements are compared only where it is the same.
struct SetUp {
  std::optional<double> dark_level;          ///< reading with the sensor covered, sample units
  std::optional<double> mean_level;          ///< given for a recording without its mean
  std::optional<double> coupling_corner_hz;  ///< high-pass of the recorder, undone
  std::optional<double> sensor_corner_hz;    ///< bandwidth of the sensor, undone
};

}  // namespace lampbeat
