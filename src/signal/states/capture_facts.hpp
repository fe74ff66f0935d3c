#pragma once

#include <optional>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"
#include "signal/tones/sensor_response.hpp"
#include "signal/windows/readings.hpp"

namespace lampbeat::signal::states {

/// What is known of a capture when its last window is over, beside the states of its light. Made
/// where the measurement is finished and gone with it: what it refers to outlives it.
struct CaptureFacts {
  const CaptureFormat& format;
  const MeasurementSettings& settings;
  const windows::Readings& readings;
  tones::SensorResponse response;
  double rate_hz = 0.0;  ///< 0 where no time passes: no rhythm is seen at that rate
  std::optional<double> pst_lm;

  double dark_level() const { return settings.dark_level.value_or(0.0); }
  /// Step of the converter as far as it can be one, and not the light's: at most a fiftieth of the
  /// light's level. 0 where none shows, as readings without steps have.
  double step_beside(double level) const;
};

}  // namespace lampbeat::signal::states
