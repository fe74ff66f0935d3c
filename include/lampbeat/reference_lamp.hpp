#pragma once

#include <functional>
#include <memory>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"

namespace lampbeat {

/// A mean level, sample units.
struct KnownMean {
  double level = 0.0;  ///< > 0
  double sd = 0.0;     ///< standard uncertainty
};

/// Opens the same capture anew each time it is asked.
using CaptureOpener = std::function<std::unique_ptr<CaptureSource>()>;

/// The mean level of a lamp of known percent flicker, from a recording that need not have kept it.
/// Percent flicker P = 100 (h − l) / (2 m + h + l), with h and l the extremes beside the mean m; so
/// 1/P is a straight line over m, and measured with two means that were made up it gives the true
/// one. Only corners, polarity and mains of `settings` count.
///
/// Throws UsageError unless 0 < `percent` <= 100, InputError from the source, or naming the capture
/// where no rhythm of it has a depth.
KnownMean mean_by_percent(const CaptureOpener& reference, double percent,
                          const MeasurementSettings& settings);

}  // namespace lampbeat
