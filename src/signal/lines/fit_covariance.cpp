#include "signal/lines/fit_covariance.hpp"

#include <cmath>

#include "signal/lines/scaled_solver.hpp"

namespace lampbeat::signal::lines {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// How far a sample pulls each fundamental: a sum of waves that stand still and of waves that grow
/// with the clock. As amplitudes of the model's lines.
struct Pull {
  LineAmplitudes plain;
  LineAmplitudes clocked;
};

Pull pull_on(Index unknown, const FittedModel& found, const MatrixXd& inverse) {
  const std::size_t lines = found.model.lines.size();
  const Index linear = linear_unknowns(lines);
  const VectorXd share = inverse.col(unknown);
  Pull pull{as_amplitudes(share.head(linear), lines), no_amplitudes(lines)};
  for (std::size_t i = 0; i < lines; ++i) {
    const double rate = line_step(found.model.lines[i], share.tail(share.size() - linear));
    pull.clocked.cosine[i] = rate * found.amplitudes.sine[i];
    pull.clocked.sine[i] = -rate * found.amplitudes.cosine[i];
  }
  return pull;
}

/// Variance of each fundamental when every sample's noise is taken to be what its residual shows,
/// not the same for all: Σ r² h², h the sample's pull on the fundamental (White, Econometrica
/// 48(4), 1980). Edges fall between samples, so what a switched light leaves unexplained gathers at
/// its edges, where the pull on its frequency is greatest.
VectorXd uneven_noise(const Window& window, const FitClock& clock, const FitEquations& equations,
                      const FittedModel& found, const MatrixXd& inverse,
                      std::span<const double> residual) {
  const Index linear = linear_unknowns(found.model.lines.size());
  VectorXd variance(static_cast<Index>(found.model.fundamental_hz.size()));
  for (Index f = 0; f < variance.size(); ++f) {
    const Pull pull = pull_on(linear + f, found, inverse);
    const std::vector<double> steady = equations.waves(found.model, pull.plain);
    const std::vector<double> growing = equations.waves(found.model, pull.clocked);
    double sum = 0.0;
    for (std::size_t n = 0; n < steady.size(); ++n) {
      const double h = steady[n] + clock.at(window.time_at(n)) * growing[n];
      const double pulled = residual[n] * h;
      sum += pulled * pulled;
    }
    variance(f) = sum;
  }
  return variance;
}

/// Raises the fundamentals' variances to those given, correlations kept.
void widen(MatrixXd& covariance, const VectorXd& variance, Index linear) {
  for (Index f = 0; f < variance.size(); ++f) {
    const Index at = linear + f;
    if (!(covariance(at, at) > 0.0) || variance(f) <= covariance(at, at)) continue;
    const double factor = std::sqrt(variance(f) / covariance(at, at));
    covariance.row(at) *= factor;
    covariance.col(at) *= factor;
  }
}

}  // namespace

MatrixXd covariance_of(const Window& window, const FitClock& clock, const FitEquations& equations,
                       const FittedModel& found, std::span<const double> residual,
                       double variance) {
  MatrixXd covariance = ScaledSolver(found.gram).inverse();
  const VectorXd as_found = uneven_noise(window, clock, equations, found, covariance, residual);
  covariance *= variance;
  widen(covariance, as_found, linear_unknowns(found.model.lines.size()));
  return covariance;
}

}  // namespace lampbeat::signal::lines
