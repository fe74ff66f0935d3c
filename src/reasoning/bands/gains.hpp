#pragma once

#include <cmath>
#include <complex>
#include <numbers>

#include "lampbeat/exposure.hpp"
#include "lampbeat/shot.hpp"
#include "reasoning/bands/turns.hpp"
#include "reasoning/camera/frame_mean.hpp"

// What is left of the orders of one series, each reached from the one before it by turning. Asked
// in rising order they cost a few multiplications instead of sines.

namespace lampbeat::reasoning::bands {

/// `exposure_gain` of every order, with the phase of the middle of the exposure.
class ExposureGains {
 public:
  ExposureGains(double hz, double exposure_s)
      : half_turns_(std::numbers::pi * hz * exposure_s), middle_(0.5 * hz * exposure_s) {}

  std::complex<double> at(int order) {
    const std::complex<double> middle = middle_.at(order);
    return middle * left(middle, order);
  }
  /// Without phase.
  double size_at(int order) { return std::abs(left(middle_.at(order), order)); }

 private:
  double left(std::complex<double> middle, int order) const {
    return half_turns_ > 0.0 ? middle.imag() / (order * half_turns_) : 1.0;
  }

  double half_turns_;  ///< of the first order, radians
  Turns middle_;
};

/// `frame_mean_gain` of every order.
class FrameMeanGains {
 public:
  FrameMeanGains(double hz, const Shot& shot)
      : hz_(hz),
        readout_s_(shot.readout_s),
        rows_(shot.rows),
        one_row_(0.5 * hz * shot.readout_s / shot.rows),
        all_rows_(0.5 * hz * shot.readout_s) {}

  std::complex<double> at(int order) {
    const std::complex<double> one = one_row_.at(order);
    const std::complex<double> all = all_rows_.at(order);
    if (in_step(one)) return frame_mean_gain(order * hz_, readout_s_, rows_);
    return product(all, std::conj(one)) * (all.imag() / (rows_ * one.imag()));
  }
  /// Without phase.
  double size_at(int order) {
    const std::complex<double> one = one_row_.at(order);
    const std::complex<double> all = all_rows_.at(order);
    if (in_step(one)) return camera::left_in_frame_mean(order * hz_, readout_s_, rows_);
    return std::abs(all.imag() / (rows_ * one.imag()));
  }

 private:
  /// Nearly the same phase in every row: a quotient of two that vanish, better taken afresh.
  static bool in_step(std::complex<double> one_row) { return std::abs(one_row.imag()) < 1e-6; }

  double hz_;
  double readout_s_;
  int rows_;
  Turns one_row_;
  Turns all_rows_;
};

}  // namespace lampbeat::reasoning::bands
