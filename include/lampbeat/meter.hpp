#pragma once

#include <functional>
#include <memory>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"

namespace lampbeat {

/// Measures a light from its samples: feed blocks, ask for the result at the end. Memory does
/// not grow with the capture, so a file, a pipe and a live recording are the same thing.
class Meter {
 public:
  Meter(const CaptureFormat& format, const MeasurementSettings& settings);
  ~Meter();
  Meter(Meter&&) noexcept;
  Meter& operator=(Meter&&) noexcept;

  void feed(const SampleBlock& block);
  /// The latest finished window, for a running display; empty before the first.
  const WindowFigures* latest() const;
  double seconds_fed() const;
  /// Ends the measurement. `source_findings` are what the reader noticed, `clock` is how it
  /// rebuilt coarse times: what is not known of it becomes part of every frequency's uncertainty.
  Measurement finish(const Findings& source_findings, const SampleClock& clock = {});

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// Called now and then while a capture is read; for progress lines.
using MeasureProgress = std::function<void(const Meter&)>;

/// Reads a capture to its end and measures it.
/// Throws InputError from the source, or when the capture holds fewer than two samples.
Measurement measure(CaptureSource& source, const MeasurementSettings& settings,
                    const MeasureProgress& progress = {});

/// Opens a capture that can be read more than once.
using CaptureReopener = std::function<std::unique_ptr<CaptureSource>(const CaptureOptions&)>;

/// The same of a capture that can be read again: where the recording lost its level and the sensor
/// was covered while it recorded, the mean is in it, and it is measured once more with that.
/// Findings then begin with `mean_from_covering`, or with what forbids it: `covering_unclear`,
/// `polarity_unknown`. Throws what the opener and `measure` do.
Measurement measure_twice_if_covered(const CaptureReopener& open, const CaptureOptions& options,
                                     const MeasurementSettings& settings,
                                     const MeasureProgress& progress = {});

}  // namespace lampbeat
