#pragma once

#include <Eigen/Dense>
#include <cstddef>
#include <vector>

#include "footage/waves/fit_target.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::waves {

/// Least squares of waves against a target, linearised at the waves' present values: inner products
/// between the derivatives by each parameter, and with the data, weighted by the noise. Parameters
/// in order: real and imaginary part of every amplitude in the middle of the stretch and picture,
/// wave by wave; then roll and bands of each wave.
struct NormalEquations {
  Eigen::MatrixXd normal;
  Eigen::VectorXd against_data;
  Eigen::Index amplitudes = 0;  ///< how many of the parameters are parts of amplitudes

  /// Sum of squares, weighted, that amplitudes explain.
  double explained(const Eigen::VectorXd& by_amplitudes) const;
};

NormalEquations normal_equations(const std::vector<Wave>& waves, const FitTarget& target);

}  // namespace lampbeat::footage::waves
