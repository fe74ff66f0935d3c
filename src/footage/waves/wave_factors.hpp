#pragma once

#include <Eigen/Dense>
#include <complex>

#include "footage/waves/fit_target.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::waves {

using Complex = std::complex<double>;
inline constexpr Complex i_unit(0.0, 1.0);

/// One harmonic along time and down the rows, and how they change with roll and bands: its
/// pattern is the real part of amplitude · time ⊗ row. Times and rows are counted from the middle
/// of the stretch and of the picture, where roll and phase, bands and phase are told apart best.
struct WaveFactors {
  using Factor = Eigen::VectorXcd;

  /// Means over time taken out.
  Factor time, time_by_roll;
  /// Means over the rows taken out.
  Factor row, row_by_bands;
  /// What was taken out of the rows.
  std::complex<double> row_mean, row_mean_by_bands;
  /// `time` without the target's slow modes, for its frame means; empty when it has none.
  Factor slow_free, slow_free_by_roll;
};

WaveFactors factors_of(const Wave& wave, int order, const FitTarget& target);

/// Turns an amplitude of this order at the first frame and row into that in the middle.
std::complex<double> to_middle(const Wave& wave, int order, const FitTarget& target);

}  // namespace lampbeat::footage::waves
