#pragma once

#include <optional>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"
#include "signal/left_over/raw_swing.hpp"
#include "signal/pulses/pulse_train.hpp"
#include "signal/sensor/response.hpp"
#include "signal/windows/readings.hpp"

namespace lampbeat::signal::states {

/// Whether the user gave a level that the readings do not keep, as an AC-coupled recorder's.
bool loses_level(const windows::Readings& readings, const MeasurementSettings& settings);

/// What is known of a capture when its last window is over, beside the states of its light. Made
/// where the measurement is finished and gone with it: what it refers to outlives it.
struct CaptureFacts {
  const CaptureFormat& format;
  const MeasurementSettings& settings;
  const windows::Readings& readings;
  const left_over::Extremes& extremes;  ///< of the readings as light
  sensor::Response response;
  double rate_hz = 0.0;  ///< 0 where no time passes: no rhythm is seen at that rate
  std::optional<double> pst_lm;
  std::optional<pulses::PulseClock> pulses =
      std::nullopt;  ///< of a switched light whose clock strays

  bool coupled() const { return loses_level(readings, settings); }
  double dark_level() const { return settings.dark_level.value_or(0.0); }
  /// Step of the converter as far as it can be one, and not the light's: at most a fiftieth of the
  /// light's level. 0 where none shows, as readings without steps have.
  double step_beside(double level) const;
};

}  // namespace lampbeat::signal::states
