#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "lampbeat/shutters.hpp"

namespace lampbeat::reasoning::shutters {

/// Four stops below 180°: darker and choppier than anyone wants by accident.
inline constexpr double darkest_deg = 11.25;

/// Part of a dial that is set in fine even steps of what is written on it: of the denominator, the
/// angle or the time. Its points are counted from the shortest exposure to the longest.
struct Range {
  ShutterNotation notation = ShutterNotation::fraction;
  std::string unit;           ///< as written behind a time: "ms"
  double unit_s = 1.0;        ///< of a time
  std::int64_t shortest = 0;  ///< in units of 10^-places, as written
  std::int64_t step = 0;      ///< the same, towards longer exposures: negative for a denominator
  std::int64_t last = 0;      ///< number of the longest point; the shortest is number 0
  int places = 0;
  double least_deg = 0.0;  ///< no point is shorter than this angle; as none it ends by itself
};

/// The range written as "1/24..1/2000:0.1", "0.5ms..40ms:0.01" or "any"; nothing for a single
/// shutter. Points start at the first end and do not go beyond the second. Throws UsageError for a
/// range that cannot be read.
std::optional<Range> range_from(std::string_view text);

/// Of a point: the exposure `parse_exposure_s` reads from its label, and that label.
double exposure_at(const Range& range, std::int64_t point, FrameRate fps);
std::string label_at(const Range& range, std::int64_t point);

/// The last point that is no longer than this exposure; below 0 when none is.
std::int64_t last_within(const Range& range, double exposure_s, FrameRate fps);

}  // namespace lampbeat::reasoning::shutters
