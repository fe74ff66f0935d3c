#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "signal/lines/normal_equations.hpp"
#include "signal/lines/waves.hpp"
#include "signal/lines/window_transform.hpp"

namespace lampbeat::signal::lines {

/// The normal equations of one window, by whichever way suits its samples: even ones in closed form
/// from projections, uneven ones row by row. Projections are taken once for every set of
/// frequencies.
class FitEquations {
 public:
  /// Keeps references to both.
  FitEquations(const FittableWindow& fittable, const FitClock& clock, Waves waves = Waves::exact);

  /// From now on the lines are at the model's frequencies.
  void move_to(const LineModel& model);
  /// Linearised about these amplitudes.
  NormalEquations about(const LineModel& model, const LineAmplitudes& amplitudes);
  /// The sum of level, slope and all waves at every sample.
  std::vector<double> waves(const LineModel& model, const LineAmplitudes& at) const;

 private:
  const Window& window_;
  const std::optional<WindowTransform>& transform_;
  const FitClock& clock_;
  Waves waves_;
  std::vector<double> rates_;
  std::optional<Projections> projections_;  ///< at rates_; only of even windows
};

/// The linear unknowns in the equations' order, and back.
Eigen::VectorXd as_vector(const LineAmplitudes& at);
LineAmplitudes as_amplitudes(const Eigen::VectorXd& x, std::size_t lines);

}  // namespace lampbeat::signal::lines
