#pragma once

#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"
#include "signal/left_over/left_over.hpp"
#include "signal/measurement/doubts.hpp"
#include "signal/measurement/slow_flicker.hpp"
#include "signal/pulses/pulse_train.hpp"
#include "signal/sensor/response.hpp"
#include "signal/states/light_states.hpp"
#include "signal/tones/clock_spread.hpp"
#include "signal/windows/readings.hpp"
#include "signal/windows/window_cutter.hpp"

namespace lampbeat::signal::measurement {

/// A window whose light is known and which waits to be measured: beside it, the next one's tones
/// are found.
struct WaitingWindow {
  double start_s = 0.0;
  double interval_s = 0.0;
  std::vector<double> value;   ///< as light
  std::vector<double> time_s;  ///< empty where even
  ToneAnalysis tones;
  double least_stray = 0.0;  ///< how far off a reading strays
  bool level_lost = false;   ///< whether the recorder let no level through

  Window light() const { return {value, time_s, interval_s}; }
};

/// Turns window after window into one measurement. Holds sums, short lists and the latest window.
class MeasurementBuilder {
 public:
  /// Throws UsageError for a setting that no light or sensor has.
  MeasurementBuilder(const CaptureFormat& format, const MeasurementSettings& settings);

  void add(const windows::PlacedWindow& placed);
  /// Of the window before the one added last.
  const WindowFigures* latest() const { return latest_ ? &*latest_ : nullptr; }
  /// Once, when the last window is in. Throws InputError when the readings are of no use.
  Measurement result(const Findings& source_findings);

 private:
  double dark_level() const { return settings_.dark_level.value_or(0.0); }
  Window as_light(const Window& raw);
  void leave_out(const windows::PlacedWindow& placed, const Window& light);
  void measure_waiting();
  /// Everything that is asked of one window of one light.
  WindowFigures measure(const WaitingWindow& window);

  CaptureFormat format_;
  MeasurementSettings settings_;
  sensor::Response response_;

  windows::Readings readings_;
  states::LightStates states_;
  Disturbances disturbances_;
  left_over::RestOfWindow rest_;          ///< of the latest window
  left_over::LeftOverAccount left_over_;  ///< of the whole capture
  tones::ClockSpread clock_;              ///< of it too
  pulses::PulseTrain train_;              ///< of a switched light, over all of it
  SlowFlicker slow_flicker_;

  std::optional<WaitingWindow> waiting_;
  std::vector<WindowFigures> windows_;
  std::optional<WindowFigures> latest_;
  std::vector<double> shifted_;  ///< the window's samples as light
};

}  // namespace lampbeat::signal::measurement
