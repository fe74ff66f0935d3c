#include "signal/lines/line_fit.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "arithmetic/phase.hpp"
#include "arithmetic/unit_circle.hpp"
#include "signal/lines/normal_equations.hpp"
#include "signal/lines/projection.hpp"

namespace lampbeat::signal {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Cholesky after scaling every unknown to unit length; a fundamental that nothing depends on (all
/// its lines at zero amplitude) is held where it is by the small ridge.
class ScaledSolver {
 public:
  explicit ScaledSolver(const MatrixXd& gram) {
    scale_ = gram.diagonal().cwiseMax(0.0).cwiseSqrt();
    const double largest = scale_.maxCoeff();
    for (double& s : scale_) s = s > 1e-150 * (largest + 1e-150) && s > 0.0 ? 1.0 / s : 0.0;
    MatrixXd scaled = scale_.asDiagonal() * gram * scale_.asDiagonal();
    scaled.diagonal().array() += 1e-13;
    for (Index i = 0; i < scaled.rows(); ++i) {
      if (scale_(i) == 0.0) scaled(i, i) = 1.0;
    }
    factor_.compute(scaled);
    if (factor_.info() != Eigen::Success) {
      scaled.diagonal().array() += 1e-8;
      factor_.compute(scaled);
    }
  }

  VectorXd solve(const VectorXd& right) const {
    return scale_.cwiseProduct(factor_.solve(scale_.cwiseProduct(right)));
  }
  MatrixXd inverse() const {
    const MatrixXd scaled = factor_.solve(MatrixXd::Identity(scale_.size(), scale_.size()));
    return scale_.asDiagonal() * scaled * scale_.asDiagonal();
  }

 private:
  VectorXd scale_;
  Eigen::LLT<MatrixXd> factor_;
};

/// Even windows in closed form from projections, uneven ones row by row.
class Equations {
 public:
  Equations(const Window& window, const FitClock& clock) : window_(window), clock_(clock) {
    if (window.even()) blocked_.emplace(window);
  }

  void move_to(const LineModel& model) {
    rates_ = line_rates(model, clock_);
    projected_ = false;
  }
  NormalEquations about(const LineModel& model, const LineAmplitudes& amplitudes) {
    if (!blocked_) return dense_equations(window_, model, rates_, amplitudes);
    if (!projected_) projections_ = blocked_->project(rates_);
    projected_ = true;
    return even_equations(window_.size(), model, rates_, projections_, amplitudes);
  }
  /// The sum of all waves at every sample.
  std::vector<double> waves(const LineAmplitudes& at) const {
    if (blocked_) return blocked_->waves(rates_, at.level, at.slope, at.cosine, at.sine);
    std::vector<double> sum(window_.size());
    for (std::size_t n = 0; n < sum.size(); ++n) {
      const double u = clock_.at(window_.time_at(n));
      sum[n] = at.level + at.slope * u;
      for (std::size_t i = 0; i < rates_.size(); ++i) {
        const auto [c, s] = arithmetic::unit_circle(rates_[i] * u);
        sum[n] += at.cosine[i] * c + at.sine[i] * s;
      }
    }
    return sum;
  }

 private:
  const Window& window_;
  const FitClock& clock_;
  std::optional<BlockedWindow> blocked_;
  std::vector<double> rates_;
  Projections projections_;
  bool projected_ = false;
};

VectorXd as_vector(const LineAmplitudes& at) {
  VectorXd x(linear_unknowns(at.cosine.size()));
  x(0) = at.level;
  x(1) = at.slope;
  for (std::size_t i = 0; i < at.cosine.size(); ++i) {
    x(static_cast<Index>(2 + 2 * i)) = at.cosine[i];
    x(static_cast<Index>(3 + 2 * i)) = at.sine[i];
  }
  return x;
}

LineAmplitudes as_amplitudes(const VectorXd& x, std::size_t lines) {
  LineAmplitudes at{x(0), x(1), std::vector<double>(lines), std::vector<double>(lines)};
  for (std::size_t i = 0; i < lines; ++i) {
    at.cosine[i] = x(static_cast<Index>(2 + 2 * i));
    at.sine[i] = x(static_cast<Index>(3 + 2 * i));
  }
  return at;
}

/// The largest shift any line makes when the fundamentals move by `step`, radians per clock unit.
double largest_shift(const LineModel& model, const VectorXd& step) {
  double largest = 0.0;
  for (const Line& line : model.lines) {
    double shift = line.order * step(static_cast<Index>(line.fundamental));
    if (line.other_order != 0) shift += line.other_order * step(static_cast<Index>(line.other));
    largest = std::max(largest, std::abs(shift));
  }
  return largest;
}

/// Amplitudes and level for frequencies as they are.
LineAmplitudes solve_linear(Equations& equations, const LineModel& model,
                            const LineAmplitudes& about) {
  const std::size_t lines = model.lines.size();
  const Index linear = linear_unknowns(lines);
  const NormalEquations eq = equations.about(model, about);
  return as_amplitudes(
      ScaledSolver(eq.gram.topLeftCorner(linear, linear)).solve(eq.projection.head(linear)), lines);
}

/// A quantity's gradient with respect to the unknowns: a few of them at most.
using SparseGradient = std::vector<std::pair<Index, double>>;

double spread(const MatrixXd& covariance, const SparseGradient& gradient) {
  double variance = 0.0;
  for (const auto& [i, gi] : gradient) {
    for (const auto& [j, gj] : gradient) variance += gi * gj * covariance(i, j);
  }
  return std::sqrt(std::max(variance, 0.0));
}

/// Variance of each fundamental when every sample's noise is taken to be what its residual shows,
/// not the same for all: Σ r² h², h the sample's pull on the fundamental (White, Econometrica
/// 48(4), 1980). Edges fall between samples, so what a switched light leaves unexplained gathers at
/// its edges, where the pull on its frequency is greatest.
VectorXd uneven_noise(const Equations& equations, const FitClock& clock, const Window& window,
                      const LineModel& model, const LineAmplitudes& at, const MatrixXd& inverse,
                      const LineFit& fit) {
  const std::size_t lines = model.lines.size();
  const Index linear = linear_unknowns(lines);
  const auto fundamentals = static_cast<Index>(model.fundamental_hz.size());
  VectorXd variance(fundamentals);
  for (Index f = 0; f < fundamentals; ++f) {
    const VectorXd share = inverse.col(linear + f);
    const LineAmplitudes plain = as_amplitudes(share.head(linear), lines);
    LineAmplitudes clocked{0.0, 0.0, std::vector<double>(lines), std::vector<double>(lines)};
    for (std::size_t i = 0; i < lines; ++i) {
      const Line& line = model.lines[i];
      double rate = line.order * share(linear + static_cast<Index>(line.fundamental));
      if (line.other_order != 0) {
        rate += line.other_order * share(linear + static_cast<Index>(line.other));
      }
      clocked.cosine[i] = rate * at.sine[i];
      clocked.sine[i] = -rate * at.cosine[i];
    }
    const std::vector<double> steady = equations.waves(plain);
    const std::vector<double> growing = equations.waves(clocked);
    double sum = 0.0;
    for (std::size_t n = 0; n < steady.size(); ++n) {
      const double pull = steady[n] + clock.at(window.time_at(n)) * growing[n];
      sum += std::pow(fit.residual[n] * pull, 2);
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

LineFit fit_lines(const Window& window, const LineModel& start, int most_steps,
                  Uncertainty uncertainty) {
  const std::size_t lines = start.lines.size();
  const auto fundamentals = static_cast<Index>(start.fundamental_hz.size());
  const Index linear = linear_unknowns(lines);
  const FitClock clock(window);
  const double hz_per_rate = 1.0 / (2.0 * std::numbers::pi * clock.half_s);
  const double samples = static_cast<double>(window.size());
  double power = 0.0;
  for (const double x : window.value) power += x * x;

  LineModel model = start;
  Equations equations(window, clock);
  equations.move_to(model);
  LineAmplitudes at{0.0, 0.0, std::vector<double>(lines), std::vector<double>(lines)};
  at = solve_linear(equations, model, at);

  MatrixXd gram;
  for (int step = 0; step < std::max(most_steps, 1); ++step) {
    NormalEquations eq = equations.about(model, at);
    gram = std::move(eq.gram);
    if (lines == 0) break;
    const VectorXd now = as_vector(at);
    const VectorXd modelled = gram.leftCols(linear) * now;
    const VectorXd gradient = eq.projection - modelled;
    const double variance = std::max(
        (power - 2.0 * now.dot(eq.projection.head(linear)) + now.dot(modelled.head(linear))) /
            samples,
        0.0);
    VectorXd move = ScaledSolver(gram).solve(gradient);
    // How far the step goes, in standard uncertainties squared.
    const double decrement = gradient.dot(move);
    // A quarter of a turn at the window's ends is as far as the linear picture holds.
    const double shift = largest_shift(model, move.tail(fundamentals));
    const double furthest = std::numbers::pi / 2.0;
    const bool curtailed = shift > furthest;
    if (curtailed) move *= furthest / shift;
    at = as_amplitudes(now + move.head(linear), lines);
    for (Index f = 0; f < fundamentals; ++f) {
      model.fundamental_hz[static_cast<std::size_t>(f)] += move(linear + f) * hz_per_rate;
    }
    equations.move_to(model);
    // What the next step would still change is about the square of this one.
    if (shift < 1e-5 || (shift < 0.02 && decrement < 1e-2 * variance)) break;
    if (curtailed) at = solve_linear(equations, model, at);
  }

  LineFit fit;
  fit.model = model;
  fit.level = at.level;
  fit.change = 2.0 * at.slope;
  fit.residual = equations.waves(at);
  for (std::size_t n = 0; n < fit.residual.size(); ++n) {
    fit.residual[n] = window.value[n] - fit.residual[n];
  }
  double squares = 0.0;
  for (const double r : fit.residual) squares += r * r;
  const double freedom = std::max(samples - static_cast<double>(linear + fundamentals), 1.0);
  const double variance = squares / freedom;
  fit.noise_sd = std::sqrt(variance);

  const bool joint = uncertainty == Uncertainty::joint;
  MatrixXd covariance;
  if (joint) {
    covariance = ScaledSolver(gram).inverse();
    const VectorXd as_found = uneven_noise(equations, clock, window, model, at, covariance, fit);
    covariance *= variance;
    widen(covariance, as_found, linear);
  }
  for (Index f = 0; f < fundamentals; ++f) {
    const Index at_f = linear + f;
    const double variance_f = joint ? covariance(at_f, at_f) : 0.0;
    fit.fundamental_hz_sd.push_back(std::sqrt(std::max(variance_f, 0.0)) * hz_per_rate);
  }
  const double centre_u = clock.centre_s / clock.half_s;
  for (std::size_t i = 0; i < lines; ++i) {
    const Line& line = model.lines[i];
    const double a = at.cosine[i];
    const double b = at.sine[i];
    FittedLine fitted;
    fitted.hz = model.hz(line);
    fitted.amplitude = std::hypot(a, b);
    fitted.phase_rad = arithmetic::wrapped_rad(std::atan2(-b, a) -
                                               2.0 * std::numbers::pi * fitted.hz * clock.centre_s);
    const double least = 1e-300;
    const double inverse = 1.0 / std::max(fitted.amplitude, least);
    if (joint) {
      const auto c = static_cast<Index>(2 + 2 * i);
      SparseGradient rate{{linear + static_cast<Index>(line.fundamental), line.order}};
      if (line.other_order != 0) {
        rate.emplace_back(linear + static_cast<Index>(line.other), line.other_order);
      }
      SparseGradient phase{{c, b * inverse * inverse}, {c + 1, -a * inverse * inverse}};
      for (const auto& [index, share] : rate) phase.emplace_back(index, -centre_u * share);
      fitted.hz_sd = spread(covariance, rate) * hz_per_rate;
      fitted.amplitude_sd =
          spread(covariance, SparseGradient{{c, a * inverse}, {c + 1, b * inverse}});
      fitted.phase_sd_rad = spread(covariance, phase);
    } else {
      // Rife & Boorstyn, IEEE Trans. Inf. Theory 20(5), 1974: one sinusoid in white noise.
      fitted.amplitude_sd = std::sqrt(2.0 * variance / samples);
      fitted.hz_sd = std::sqrt(3.0) * fitted.amplitude_sd * inverse * hz_per_rate;
      fitted.phase_sd_rad = 2.0 * fitted.amplitude_sd * inverse;
    }
    fit.lines.push_back(fitted);
  }
  return fit;
}

}  // namespace lampbeat::signal
