#pragma once

#include <cstdint>
#include <string_view>

#include "capture/clock/line_region.hpp"

namespace lampbeat::capture::clock {

/// The time between samples as a table's header states it.
struct StatedInterval {
  double interval_s = 0.0;
  double tolerance = 0.0;  ///< how far the truth may be, as a fraction: the figure may be rounded
  std::uint64_t line = 0;  ///< where it stands
  bool has_unit = true;    ///< false: taken as seconds or hertz

  LineRegion::Range range() const {
    return {interval_s * (1.0 - tolerance), interval_s * (1.0 + tolerance)};
  }
};

/// How far a figure may be from what it was rounded from, as a fraction. Instruments sample at
/// round rates or intervals: a round figure, or one whose reciprocal is round, is exact; any other
/// may be off by half its last digit.
double rounding_of_figure(std::string_view figure, char decimal, double value);

}  // namespace lampbeat::capture::clock
