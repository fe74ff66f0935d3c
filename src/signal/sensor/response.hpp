#pragma once

#include <optional>
#include <vector>

#include "lampbeat/window.hpp"

namespace lampbeat::signal::sensor {

/// First-order corners between the light and the samples.
struct Response {
  std::optional<double> low_pass_hz;   ///< the sensor's bandwidth
  std::optional<double> high_pass_hz;  ///< the recorder's AC coupling
  bool flat() const { return !low_pass_hz && !high_pass_hz; }
  /// How much of a sine of this frequency samples so far apart hold before `undone` gives it back:
  /// 1 where nothing was taken.
  double gain(double hz, double interval_s) const;
};

/// The samples as they were in the light, undone one by one in time, so that an edge stays an edge.
///
/// The sensor, a first-order low-pass of time constant τ: from y(t) = e^(−T/τ) y(t − T) + what the
/// light of the last interval T gave, each sample becomes the mean of the light over the interval
/// that ends with it. The coupling, a first-order high-pass: x = y + ∫y/τ, the integral by
/// trapezoids; what it drifts over the window, a straight line, is the recorder's offset and is
/// taken out, so that the level is anybody's.
std::vector<double> undone(const Window& recorded, const Response& response);

/// By how much `undone` lags: its samples are means over intervals, about half an interval old.
double lag_s(const Response& response, double interval_s);

}  // namespace lampbeat::signal::sensor
