#pragma once

#include <optional>
#include <span>

#include "signal/left_over/noise_model.hpp"
#include "signal/sensor/response.hpp"

namespace lampbeat::signal::left_over {

/// What is known beforehand about the noise that the sensor and recorder add.
struct NoiseKnowledge {
  double level = 0.0;          ///< of the light, sample units
  double half_rate_hz = 0.0;   ///< half the sampling rate
  sensor::Response response;   ///< undone on the samples, and with it on their noise
  std::optional<double> step;  ///< of the converter, sample units, > 0; empty when none shows
  /// Below this, the noise may have been taken out with the drift.
  double trusted_from_hz = 0.0;
  std::span<const spectrum::Band>
      dark;  ///< of a recording with the sensor covered; empty when there is none
};

/// The covered sensor's noise and what is white beyond it; without a covered sensor white noise
/// with a part that falls as 1/f^slope, where the bands show one.
NoiseModel fitted_noise(std::span<const spectrum::Band> bands, const NoiseKnowledge& known);

/// The model with a part that ends at a corner, and 1/f noise beneath it, where that fits better.
NoiseModel with_rolled(const NoiseModel& model, std::span<const spectrum::Band> bands,
                       const NoiseKnowledge& known);

}  // namespace lampbeat::signal::left_over
