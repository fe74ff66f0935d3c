#include "signal/measurement/slow_flicker.hpp"

namespace lampbeat::signal::measurement {

namespace {

constexpr double slowest_rate_hz = 400.0;  ///< what PstMeter takes

}  // namespace

void SlowFlicker::feed(const Window& light) {
  possible_ = possible_ && light.even() && 1.0 / light.interval_s >= slowest_rate_hz;
  if (!possible_) {
    meter_.reset();
    return;
  }
  if (!meter_) meter_.emplace(1.0 / light.interval_s);
  meter_->feed(light.value);
}

}  // namespace lampbeat::signal::measurement
