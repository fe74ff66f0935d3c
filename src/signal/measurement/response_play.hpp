#pragma once

#include <array>

#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"
#include "signal/sensor/response.hpp"
#include "signal/states/epoch_figures.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::measurement {

/// Sound cards block what is slower than some 3 to 20 Hz (common practice, no source). A corner
/// that is undone too high bends the cycle the other way: the truth lies at one of these, or
/// between.
inline constexpr std::array likely_corners_hz = {4.0, 8.0, 12.0, 16.0, 20.0};

/// What is known of the path from the light to the samples.
struct SignalPath {
  sensor::Response response;  ///< undone on the samples
  /// The recording is AC-coupled, and nobody said from where on.
  bool coupling_unknown = false;
};

/// By how much a cycle's figures hang on what is not known of that path: what the samples, means
/// over their intervals once the sensor's bandwidth is undone, smooth away; and what a coupling of
/// up to 20 Hz, as sound cards have, would have taken. Folds the window anew for each.
states::ResponsePlay response_play(const Window& light, const CycleFigures& figures,
                                   const tones::RhythmChoice& choice, const SignalPath& path);

}  // namespace lampbeat::signal::measurement
