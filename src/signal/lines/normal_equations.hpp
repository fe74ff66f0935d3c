#pragma once

#include <Eigen/Core>
#include <span>
#include <vector>

#include "lampbeat/window.hpp"
#include "signal/lines/fit_clock.hpp"
#include "signal/lines/line_model.hpp"
#include "signal/lines/window_transform.hpp"

namespace lampbeat::signal::lines {

/// The linear part of a fit: level, slope over the fit clock, and each line's cosine and sine.
struct LineAmplitudes {
  double level = 0.0;
  double slope = 0.0;
  std::vector<double> cosine;
  std::vector<double> sine;
};
inline LineAmplitudes no_amplitudes(std::size_t lines) {
  return {0.0, 0.0, std::vector<double>(lines), std::vector<double>(lines)};
}

/// Normal equations of the fit, linearised about given amplitudes. Unknowns in order: level, slope,
/// cosine and sine of each line in turn, then each fundamental (in radians per clock unit).
struct NormalEquations {
  Eigen::MatrixXd gram;        ///< JᵀJ
  Eigen::VectorXd projection;  ///< Jᵀx, x the samples themselves
};

/// Number of unknowns before the fundamentals.
inline Eigen::Index linear_unknowns(std::size_t lines) {
  return static_cast<Eigen::Index>(2 + 2 * lines);
}

/// How far a line moves when the fundamentals move by `step`, in the step's unit.
inline double line_step(const TiedLine& line,
                        const Eigen::Ref<const Eigen::VectorXd>& fundamental_step) {
  double step = line.order * fundamental_step(static_cast<Eigen::Index>(line.fundamental));
  if (line.beside) {
    step +=
        line.beside->order * fundamental_step(static_cast<Eigen::Index>(line.beside->fundamental));
  }
  return step;
}

/// Frequencies of the model's lines in radians per clock unit.
std::vector<double> line_rates(const LineModel& model, const FitClock& clock);

/// For evenly spaced samples, from projections: every entry in closed form.
NormalEquations even_equations(std::size_t samples, const LineModel& model,
                               std::span<const double> rates, const Projections& projections,
                               const LineAmplitudes& about);

/// For any spacing, row by row. Slow and plain; the reference for the closed form.
NormalEquations dense_equations(const Window& window, const LineModel& model,
                                std::span<const double> rates, const LineAmplitudes& about);

}  // namespace lampbeat::signal::lines
