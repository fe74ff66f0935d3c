#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"

namespace lampbeat {

/// What a light did in the last second of a recording that goes on. Figures are those of a
/// `Measurement` of that second alone, each with its standard uncertainty, or empty.
struct LiveReading {
  double at_s = 0.0;     ///< of its last sample, from the recording's first
  double lasts_s = 0.0;  ///< how much of the recording it is of
  std::optional<double> percent_flicker;
  std::optional<double> percent_flicker_sd;
  std::optional<double> dominant_hz;
  std::optional<double> dominant_hz_sd;
  std::optional<double> steady_below_percent;  ///< no rhythm is stronger than this
  std::optional<double> mean;                  ///< sample units, dark level removed
  bool clipped = false;                        ///< the recorder ran out of range
  bool too_dark = false;  ///< fewer steps of the converter, or less above noise, than figures take
  bool coupled = false;   ///< the recording has no steady level
  /// How far the brightest sample reaches up the recorder's range, from dark on, 0 to 1; of a
  /// recorder whose range is not known, over the brightest sample so far.
  double level = 0.0;
  bool range_known = false;
  std::vector<double> cycle;  ///< relative to the mean, at evenly spaced phases; empty without one
};

/// Reads a light while it is recorded. Keeps about a second of samples, however long that goes on.
class LiveMeter {
 public:
  LiveMeter(const CaptureFormat& format, const MeasurementSettings& settings);
  ~LiveMeter();
  LiveMeter(LiveMeter&&) noexcept;
  LiveMeter& operator=(LiveMeter&&) noexcept;

  /// The next samples, their times as written: see `LiveStream::hear`.
  void hear(const SampleBlock& block);
  /// Seconds from the first sample to the last one heard.
  double heard_s() const;
  /// What the last second says; empty before there are two samples.
  std::optional<LiveReading> reading() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace lampbeat
