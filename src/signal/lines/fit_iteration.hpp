#pragma once

#include <Eigen/Core>

#include "signal/lines/fit_equations.hpp"

namespace lampbeat::signal::lines {

/// Where the Gauss-Newton steps ended.
struct FittedModel {
  LineModel model;  ///< with refined fundamentals
  LineAmplitudes amplitudes;
  Eigen::MatrixXd gram;  ///< JᵀJ of the last step
};

/// Steps from `start` to the least squares. Stops before `most_steps` when the last step was small
/// beside the uncertainty it would be judged by. `equations` stay at the frequencies found.
FittedModel iterate(const Window& window, const FitClock& clock, FitEquations& equations,
                    const LineModel& start, int most_steps);

}  // namespace lampbeat::signal::lines
