#include "signal/lines/fit_clock.hpp"

namespace lampbeat::signal::lines {

FitClock::FitClock(const Window& window) {
  const double last_s = window.size() > 0 ? window.time_at(window.size() - 1) : 0.0;
  centre_s = last_s / 2.0;
  half_s = (last_s + window.interval_s) / 2.0;
}

}  // namespace lampbeat::signal::lines
