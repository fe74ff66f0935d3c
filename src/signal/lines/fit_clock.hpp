#pragma once

#include "arithmetic/phase.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::lines {

/// The clock of the fits: zero at the window's centre, about −1 at its start and +1 at its end.
struct FitClock {
  explicit FitClock(const Window& window);
  double centre_s = 0.0;  ///< from the window's first sample
  double half_s = 0.0;    ///< one unit of the clock
  double at(double time_s) const { return (time_s - centre_s) / half_s; }
  /// Hz of one radian per clock unit.
  double hz_per_rate() const { return 1.0 / (arithmetic::turn * half_s); }
};

}  // namespace lampbeat::signal::lines
