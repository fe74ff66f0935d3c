#include "signal/line_fit.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "signal/normal_equations.hpp"
#include "signal/projection.hpp"

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
    if (blocked_) projections_ = blocked_->project(rates_);
  }
  NormalEquations about(const LineModel& model, const LineAmplitudes& amplitudes) const {
    return blocked_ ? even_equations(window_.size(), model, rates_, projections_, amplitudes)
                    : dense_equations(window_, model, rates_, amplitudes);
  }
  std::vector<double> residual(const LineAmplitudes& at) const {
    if (blocked_) return blocked_->residual(rates_, at.level, at.slope, at.cosine, at.sine);
    std::vector<double> left(window_.value.begin(), window_.value.end());
    for (std::size_t n = 0; n < left.size(); ++n) {
      const double u = clock_.at(window_.time_at(n));
      double fit = at.level + at.slope * u;
      for (std::size_t i = 0; i < rates_.size(); ++i) {
        fit += at.cosine[i] * std::cos(rates_[i] * u) + at.sine[i] * std::sin(rates_[i] * u);
      }
      left[n] -= fit;
    }
    return left;
  }

 private:
  const Window& window_;
  const FitClock& clock_;
  std::optional<BlockedWindow> blocked_;
  std::vector<double> rates_;
  Projections projections_;
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

}  // namespace

LineFit fit_lines(const Window& window, const LineModel& start, int most_steps) {
  const std::size_t lines = start.lines.size();
  const auto fundamentals = static_cast<Index>(start.fundamental_hz.size());
  const Index linear = linear_unknowns(lines);
  const FitClock clock(window);
  const double hz_per_rate = 1.0 / (2.0 * std::numbers::pi * clock.half_s);

  LineModel model = start;
  Equations equations(window, clock);
  equations.move_to(model);
  LineAmplitudes at{0.0, 0.0, std::vector<double>(lines), std::vector<double>(lines)};
  {
    const NormalEquations eq = equations.about(model, at);
    at = as_amplitudes(
        ScaledSolver(eq.gram.topLeftCorner(linear, linear)).solve(eq.projection.head(linear)),
        lines);
  }

  MatrixXd gram;
  for (int step = 0; step < std::max(most_steps, 1); ++step) {
    if (step > 0) equations.move_to(model);
    const NormalEquations eq = equations.about(model, at);
    gram = eq.gram;
    if (lines == 0) break;
    const VectorXd now = as_vector(at);
    const VectorXd gradient = eq.projection - gram.leftCols(linear) * now;
    VectorXd move = ScaledSolver(gram).solve(gradient);
    // A quarter of a turn at the window's ends is as far as the linear picture holds.
    const double shift = largest_shift(model, move.tail(fundamentals));
    const double furthest = std::numbers::pi / 2.0;
    if (shift > furthest) move *= furthest / shift;
    at = as_amplitudes(now + move.head(linear), lines);
    for (Index f = 0; f < fundamentals; ++f) {
      model.fundamental_hz[static_cast<std::size_t>(f)] += move(linear + f) * hz_per_rate;
    }
    if (shift < 1e-5) break;  // what the next step would still change is its square
    if (shift > furthest && step + 1 < most_steps) {
      // After a curtailed step the amplitudes are stale: solve them anew where the step ended.
      equations.move_to(model);
      const NormalEquations anew = equations.about(model, at);
      at = as_amplitudes(
          ScaledSolver(anew.gram.topLeftCorner(linear, linear)).solve(anew.projection.head(linear)),
          lines);
    }
  }
  equations.move_to(model);

  LineFit fit;
  fit.model = model;
  fit.level = at.level;
  fit.change = 2.0 * at.slope;
  fit.residual = equations.residual(at);
  double squares = 0.0;
  for (const double r : fit.residual) squares += r * r;
  const double unknowns = static_cast<double>(linear + fundamentals);
  const double freedom = std::max(static_cast<double>(window.size()) - unknowns, 1.0);
  const double variance = squares / freedom;
  fit.noise_sd = std::sqrt(variance);

  const MatrixXd covariance = ScaledSolver(gram).inverse() * variance;
  for (Index f = 0; f < fundamentals; ++f) {
    fit.fundamental_hz_sd.push_back(std::sqrt(std::max(covariance(linear + f, linear + f), 0.0)) *
                                    hz_per_rate);
  }
  const double centre_u = clock.centre_s / clock.half_s;
  for (std::size_t i = 0; i < lines; ++i) {
    const Line& line = model.lines[i];
    const double a = at.cosine[i];
    const double b = at.sine[i];
    FittedLine fitted;
    fitted.hz = model.hz(line);
    fitted.amplitude = std::hypot(a, b);
    // Gradients of rate, amplitude and phase with respect to the unknowns they hang on.
    VectorXd rate = VectorXd::Zero(covariance.rows());
    rate(linear + static_cast<Index>(line.fundamental)) += line.order;
    if (line.other_order != 0) rate(linear + static_cast<Index>(line.other)) += line.other_order;
    const auto c = static_cast<Index>(2 + 2 * i);
    VectorXd amplitude = VectorXd::Zero(covariance.rows());
    VectorXd phase = -centre_u * rate;
    if (fitted.amplitude > 0.0) {
      const double squared = fitted.amplitude * fitted.amplitude;
      amplitude(c) = a / fitted.amplitude;
      amplitude(c + 1) = b / fitted.amplitude;
      phase(c) = b / squared;
      phase(c + 1) = -a / squared;
    }
    const auto spread = [&covariance](const VectorXd& gradient) {
      return std::sqrt(std::max(gradient.dot(covariance * gradient), 0.0));
    };
    fitted.hz_sd = spread(rate) * hz_per_rate;
    fitted.amplitude_sd = spread(amplitude);
    fitted.phase_sd_rad = spread(phase);
    fitted.phase_rad =
        std::remainder(std::atan2(-b, a) - 2.0 * std::numbers::pi * fitted.hz * clock.centre_s,
                       2.0 * std::numbers::pi);
    fit.lines.push_back(fitted);
  }
  return fit;
}

}  // namespace lampbeat::signal
