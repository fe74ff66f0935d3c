#pragma once

#include <cstdint>
#include <optional>

#include "lampbeat/capture.hpp"
#include "signal/windows/clipping.hpp"
#include "signal/windows/window_cutter.hpp"

namespace lampbeat::signal::windows {

/// What the samples of a capture say before anybody looks for light in them.
struct Readings {
  std::uint64_t samples = 0;
  double end_s = 0.0;  ///< one interval after the last sample, from the first
  double sum = 0.0;    ///< raw sample units, as all below
  double lowest = 0.0;
  double highest = 0.0;
  Clipping clipping;
  std::optional<double> step;       ///< the converter's; empty when none shows
  std::optional<double> code_step;  ///< the same, taken from two levels alone too
  bool all_even = true;
  bool on_grid = true;  ///< every sample a whole number of intervals after the one before
  double jitter_percent = 0.0;

  double mean() const { return sum / static_cast<double>(samples); }
};

/// Counts one more window; the capture's own dark level is the reading without light.
void count(Readings& readings, const PlacedWindow& placed, const CaptureFormat& format,
           double dark_level);

/// Samples a second as the recorder says or, of samples with times, on average; empty where no time
/// passes.
std::optional<double> mean_rate_hz(const Readings& readings, const CaptureFormat& format);

/// Throws InputError unless there are two samples or more, of a size that a sensor gives.
void refuse_useless(const Readings& readings, const CaptureFormat& format);

}  // namespace lampbeat::signal::windows
