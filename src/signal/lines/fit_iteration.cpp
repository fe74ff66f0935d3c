#include "signal/lines/fit_iteration.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/lanes.hpp"
#include "signal/lines/scaled_solver.hpp"

namespace lampbeat::signal::lines {
namespace {

using Eigen::Index;
using Eigen::VectorXd;

/// A quarter of a turn at the window's ends is as far as the linear picture holds: a sine is
/// within 36 % of its tangent, and the step still points the right way.
constexpr double furthest_shift_rad = std::numbers::pi / 2.0;
/// Frequencies settled to a hundred-thousandth of a radian at the window's ends: the next step, its
/// square, is a rounding error.
constexpr double settled_rad = 1e-5;
/// The next step would change the phase by the square of this one, 4e-4 rad, and the frequencies by
/// a hundredth of the variance they are known to (a twentieth of a standard uncertainty at most).
constexpr double nearly_settled_rad = 0.02;
constexpr double nearly_settled_variances = 1e-2;

/// The largest shift any line makes when the fundamentals move by `step`, radians per clock unit.
double largest_shift(const LineModel& model, const Eigen::Ref<const VectorXd>& step) {
  double largest = 0.0;
  for (const TiedLine& line : model.lines) {
    largest = std::max(largest, std::abs(line_step(line, step)));
  }
  return largest;
}

/// Amplitudes and level for frequencies as they are.
LineAmplitudes solve_linear(FitEquations& equations, const LineModel& model,
                            const LineAmplitudes& about) {
  const std::size_t lines = model.lines.size();
  const Index linear = linear_unknowns(lines);
  const NormalEquations eq = equations.about(model, about);
  return as_amplitudes(
      ScaledSolver(eq.gram.topLeftCorner(linear, linear)).solve(eq.projection.head(linear)), lines);
}

/// One Gauss-Newton step, before it is taken.
struct Step {
  VectorXd linear;     ///< where level, slope and amplitudes come to
  VectorXd frequency;  ///< by how much the fundamentals move, radians per clock unit
  double shift = 0.0;  ///< the largest any line would make, radians per clock unit
  bool curtailed = false;
  double decrement = 0.0;  ///< over `variance`: how far it goes, in standard uncertainties squared
  double variance = 0.0;   ///< mean square of what was left before it
};

Step next_step(const NormalEquations& eq, const LineModel& model, const LineAmplitudes& about,
               double power, double samples) {
  const VectorXd now = as_vector(about);
  const Index linear = now.size();
  const VectorXd modelled = eq.gram.leftCols(linear) * now;
  const VectorXd gradient = eq.projection - modelled;
  const double variance = std::max(
      (power - 2.0 * now.dot(eq.projection.head(linear)) + now.dot(modelled.head(linear))) /
          samples,
      0.0);
  VectorXd move = ScaledSolver(eq.gram).solve(gradient);
  Step step;
  step.decrement = gradient.dot(move);
  step.variance = variance;
  const auto fundamentals = static_cast<Index>(model.fundamental_hz.size());
  step.shift = largest_shift(model, move.tail(fundamentals));
  step.curtailed = step.shift > furthest_shift_rad;
  if (step.curtailed) move *= furthest_shift_rad / step.shift;
  step.linear = now + move.head(linear);
  step.frequency = move.tail(fundamentals);
  return step;
}

/// What the next step would still change is about the square of this one.
bool settled(const Step& step) {
  return step.shift < settled_rad || (step.shift < nearly_settled_rad &&
                                      step.decrement < nearly_settled_variances * step.variance);
}

}  // namespace

FittedModel iterate(const Window& window, const FitClock& clock, FitEquations& equations,
                    const LineModel& start, int most_steps) {
  const std::size_t lines = start.lines.size();
  const double samples = static_cast<double>(window.size());
  const double power = arithmetic::sum_of_products(window.value, window.value);

  FittedModel found{start, no_amplitudes(lines), {}};
  equations.move_to(found.model);
  found.amplitudes = solve_linear(equations, found.model, found.amplitudes);
  for (int taken = 0; taken < std::max(most_steps, 1); ++taken) {
    NormalEquations eq = equations.about(found.model, found.amplitudes);
    if (lines == 0) {
      found.gram = std::move(eq.gram);
      break;
    }
    const Step step = next_step(eq, found.model, found.amplitudes, power, samples);
    found.gram = std::move(eq.gram);
    found.amplitudes = as_amplitudes(step.linear, lines);
    for (Index f = 0; f < step.frequency.size(); ++f) {
      found.model.fundamental_hz[static_cast<std::size_t>(f)] +=
          step.frequency(f) * clock.hz_per_rate();
    }
    equations.move_to(found.model);
    if (settled(step)) break;
    if (step.curtailed) found.amplitudes = solve_linear(equations, found.model, found.amplitudes);
  }
  return found;
}

}  // namespace lampbeat::signal::lines
