#pragma once

#include <vector>

#include "lampbeat/window.hpp"
#include "signal/lines/line_model.hpp"
#include "signal/lines/waves.hpp"
#include "signal/lines/window_transform.hpp"

namespace lampbeat::signal::lines {

/// One fitted sinusoid, its phase at the window's first sample.
struct FittedLine {
  double hz = 0.0;
  double hz_sd = 0.0;
  double amplitude = 0.0;
  double amplitude_sd = 0.0;
  double phase_rad = 0.0;
  double phase_sd_rad = 0.0;
};

/// A model fitted to a window: level, slope, amplitudes, phases and fundamentals together.
struct LineFit {
  LineModel model;                        ///< with refined fundamentals
  std::vector<double> fundamental_hz_sd;  ///< empty with lonely uncertainties
  std::vector<FittedLine> lines;          ///< in the model's order
  double level = 0.0;
  double change = 0.0;  ///< of the level, from the window's start to its end
  double noise_sd = 0.0;
  std::vector<double> residual;  ///< samples minus the fit
};

/// How the standard uncertainties are found.
enum class Uncertainty {
  joint,   ///< inverse of the whole information matrix
  lonely,  ///< as if every line stood alone in the window: quick, enough to sort lines into series
};

/// Least-squares fit by Gauss-Newton steps from `start`, the maximum-likelihood estimate when the
/// noise is white. Uncertainties are for white noise of the residual's variance. Needs more samples
/// than unknowns. Stops before `most_steps` when the last step was small beside the uncertainty it
/// would be judged by. Where waves are `looked_up`, residual and noise are so; the lines are exact.
LineFit fit_lines(const FittableWindow& fittable, const LineModel& start, int most_steps,
                  Uncertainty uncertainty = Uncertainty::joint, Waves waves = Waves::exact);

}  // namespace lampbeat::signal::lines
