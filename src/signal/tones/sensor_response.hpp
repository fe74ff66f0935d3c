#pragma once

#include <optional>

#include "lampbeat/tones.hpp"

namespace lampbeat::signal::tones {

/// First-order corners between the light and the samples.
struct SensorResponse {
  std::optional<double> low_pass_hz;   ///< the sensor's bandwidth
  std::optional<double> high_pass_hz;  ///< the recorder's AC coupling
  bool flat() const { return !low_pass_hz && !high_pass_hz; }
};

/// The tones as they were in the light, before the sensor and the recorder changed them:
/// each amplitude is divided by |1/(1 + i f/f_low)| · |i f/f_high / (1 + i f/f_high)|, each phase
/// turned back.
ToneAnalysis undo(const SensorResponse& response, ToneAnalysis tones);

}  // namespace lampbeat::signal::tones
