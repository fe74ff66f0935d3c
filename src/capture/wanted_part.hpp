#pragma once

#include <optional>

#include "lampbeat/capture.hpp"

namespace lampbeat::capture {

/// The part of a capture asked for, in seconds since its first sample.
struct WantedPart {
  double from_s = 0.0;
  std::optional<double> for_s;

  /// Samples at or after this are not wanted; empty: to the end.
  std::optional<double> end_s() const {
    return for_s ? std::optional<double>(from_s + *for_s) : std::nullopt;
  }
};

/// Throws UsageError unless from_s >= 0 and for_s > 0, both finite.
WantedPart wanted_part(const CaptureOptions& options);

}  // namespace lampbeat::capture
