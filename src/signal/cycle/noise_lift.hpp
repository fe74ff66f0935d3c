#pragma once

#include <cmath>

namespace lampbeat::signal::cycle {

/// What noise adds to the mean distance of samples from a level: only where they cross it.
class NoiseLift {
 public:
  explicit NoiseLift(double noise_sd) : noise_sd_(noise_sd) {}
  /// One sample's distance.
  void see(double off) {
    crossing_ += std::abs(off) < crossing_sds * noise_sd_ ? 1.0 : 0.0;
    seen_ += 1.0;
  }
  double value() const {
    return noise_sd_ > 0.0 ? noise_sd_ * crossing_ / (seen_ * 2.0 * crossing_sds) : 0.0;
  }
  double sd() const { return not_known * value(); }

 private:
  /// So many standard deviations of the noise to either side of the level count as its crossing.
  static constexpr double crossing_sds = 2.0;
  /// Share of it that is not known.
  static constexpr double not_known = 0.3;
  double noise_sd_;
  double crossing_ = 0.0;
  double seen_ = 0.0;
};

}  // namespace lampbeat::signal::cycle
