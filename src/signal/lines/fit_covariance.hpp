#pragma once

#include <Eigen/Core>
#include <span>

#include "signal/lines/fit_iteration.hpp"

namespace lampbeat::signal::lines {

/// Covariance of all unknowns, in the equations' order, for white noise of `variance`; those of the
/// fundamentals no smaller than what the residual itself shows, sample by sample.
Eigen::MatrixXd covariance_of(const Window& window, const FitClock& clock,
                              const FitEquations& equations, const FittedModel& found,
                              std::span<const double> residual, double variance);

}  // namespace lampbeat::signal::lines
