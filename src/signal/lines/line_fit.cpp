#include "signal/lines/line_fit.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"
#include "arithmetic/unit_circle.hpp"
#include "signal/lines/fit_covariance.hpp"
#include "signal/lines/fit_equations.hpp"
#include "signal/lines/fit_iteration.hpp"
#include "signal/lines/normal_equations.hpp"

namespace lampbeat::signal::lines {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;

/// In place of an amplitude of zero, whose phase and frequency are then as uncertain as a double
/// can say.
constexpr double least_amplitude = 1e-300;

/// A quantity's gradient with respect to the unknowns: a few of them at most.
using SparseGradient = std::vector<std::pair<Index, double>>;

double spread(const MatrixXd& covariance, const SparseGradient& gradient) {
  double variance = 0.0;
  for (const auto& [i, gi] : gradient) {
    for (const auto& [j, gj] : gradient) variance += gi * gj * covariance(i, j);
  }
  return std::sqrt(std::max(variance, 0.0));
}

double one_over_amplitude(const FittedLine& line) {
  return 1.0 / std::max(line.amplitude, least_amplitude);
}

/// Frequency, amplitude and phase of each line, without their uncertainties.
std::vector<FittedLine> fitted_lines(const FittedModel& found, const FitClock& clock) {
  std::vector<FittedLine> lines;
  for (std::size_t i = 0; i < found.model.lines.size(); ++i) {
    const double a = found.amplitudes.cosine[i];
    const double b = found.amplitudes.sine[i];
    FittedLine line;
    line.hz = found.model.hz(found.model.lines[i]);
    line.amplitude = std::hypot(a, b);
    line.phase_rad =
        arithmetic::wrapped_rad(std::atan2(-b, a) - arithmetic::turn * line.hz * clock.centre_s);
    lines.push_back(line);
  }
  return lines;
}

/// Standard uncertainties from the covariance of all unknowns together.
void judge_jointly(LineFit& fit, const FittedModel& found, const FitClock& clock,
                   const MatrixXd& covariance) {
  const Index linear = linear_unknowns(fit.lines.size());
  const double hz_per_rate = clock.hz_per_rate();
  for (Index f = linear; f < covariance.rows(); ++f) {
    fit.fundamental_hz_sd.push_back(std::sqrt(std::max(covariance(f, f), 0.0)) * hz_per_rate);
  }
  const double centre_u = clock.centre_s / clock.half_s;
  for (std::size_t i = 0; i < fit.lines.size(); ++i) {
    FittedLine& line = fit.lines[i];
    const TiedLine& tied = found.model.lines[i];
    const double a = found.amplitudes.cosine[i];
    const double b = found.amplitudes.sine[i];
    const double inverse = one_over_amplitude(line);
    const auto c = static_cast<Index>(2 + 2 * i);
    SparseGradient rate{{linear + static_cast<Index>(tied.fundamental), tied.order}};
    if (tied.beside) {
      rate.emplace_back(linear + static_cast<Index>(tied.beside->fundamental), tied.beside->order);
    }
    // The fit knows the phase at the window's centre; the frequency carries it to its start.
    SparseGradient phase{{c, b * inverse * inverse}, {c + 1, -a * inverse * inverse}};
    for (const auto& [index, share] : rate) phase.emplace_back(index, -centre_u * share);
    line.hz_sd = spread(covariance, rate) * hz_per_rate;
    line.amplitude_sd = spread(covariance, SparseGradient{{c, a * inverse}, {c + 1, b * inverse}});
    line.phase_sd_rad = spread(covariance, phase);
  }
}

/// Standard uncertainties as if each line were the only one: one sinusoid in white noise (Rife &
/// Boorstyn, IEEE Trans. Inf. Theory 20(5), 1974).
void judge_lonely(LineFit& fit, const FitClock& clock, double samples, double variance) {
  for (FittedLine& line : fit.lines) {
    const double inverse = one_over_amplitude(line);
    line.amplitude_sd = std::sqrt(2.0 * variance / samples);
    line.hz_sd = std::sqrt(3.0) * line.amplitude_sd * inverse * clock.hz_per_rate();
    line.phase_sd_rad = 2.0 * line.amplitude_sd * inverse;
  }
}

}  // namespace

LineFit fit_lines(const FittableWindow& fittable, const LineModel& start, int most_steps,
                  Uncertainty uncertainty, Waves waves) {
  const Window& window = fittable.window;
  const FitClock clock(window);
  FitEquations equations(fittable, clock, waves);
  const FittedModel found = iterate(window, clock, equations, start, most_steps);

  LineFit fit;
  fit.model = found.model;
  fit.level = found.amplitudes.level;
  fit.change = 2.0 * found.amplitudes.slope;
  fit.residual = equations.waves(found.model, found.amplitudes);
  for (std::size_t n = 0; n < fit.residual.size(); ++n) {
    fit.residual[n] = window.value[n] - fit.residual[n];
  }
  const double squares = arithmetic::sum_of_products(fit.residual, fit.residual);
  const double samples = static_cast<double>(window.size());
  const double freedom = std::max(samples - static_cast<double>(found.gram.rows()), 1.0);
  const double variance = squares / freedom;
  fit.noise_sd = std::sqrt(variance);

  fit.lines = fitted_lines(found, clock);
  if (uncertainty == Uncertainty::joint) {
    judge_jointly(fit, found, clock,
                  covariance_of(window, clock, equations, found, fit.residual, variance));
  } else {
    judge_lonely(fit, clock, samples, variance);
  }
  return fit;
}

}  // namespace lampbeat::signal::lines
