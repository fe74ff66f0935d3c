#pragma once

#include <Eigen/Dense>

#include "footage/rows/block_steps.hpp"
#include "footage/waves/step_fit.hpp"

namespace lampbeat::footage::waves {

/// Of a pattern that still leaves some light: a log of none has no bound.
constexpr double deepest_pattern = 0.97;
/// A slope and a vignette.
constexpr Eigen::Index shades = 2;

/// Steps of the log pattern, and how they change with each amplitude, the shading and the bands.
struct Linearised {
  Eigen::VectorXd pattern;
  Eigen::MatrixXd by;  // amplitudes, shading, bands
};

Linearised linearise(const rows::BlockSteps& steps, const StepFit& fit);

}  // namespace lampbeat::footage::waves
