#include "signal/lines/fit_equations.hpp"

#include "arithmetic/unit_circle.hpp"
#include "signal/lines/tied_waves.hpp"

namespace lampbeat::signal::lines {

using Eigen::Index;
using Eigen::VectorXd;

FitEquations::FitEquations(const FittableWindow& fittable, const FitClock& clock, Waves waves)
    : window_(fittable.window), transform_(fittable.transform), clock_(clock), waves_(waves) {}

void FitEquations::move_to(const LineModel& model) {
  rates_ = line_rates(model, clock_);
  projections_.reset();
}

NormalEquations FitEquations::about(const LineModel& model, const LineAmplitudes& amplitudes) {
  if (!transform_) return dense_equations(window_, model, rates_, amplitudes);
  if (!projections_) projections_ = transform_->project(rates_);
  return even_equations(window_.size(), model, rates_, *projections_, amplitudes);
}

std::vector<double> FitEquations::waves(const LineModel& model, const LineAmplitudes& at) const {
  if (window_.even()) {
    if (waves_ == Waves::looked_up) return tied_waves(window_.size(), model, rates_, at);
    return lines::waves(window_.size(), rates_, at.level, at.slope, at.cosine, at.sine);
  }
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
  LineAmplitudes at = no_amplitudes(lines);
  at.level = x(0);
  at.slope = x(1);
  for (std::size_t i = 0; i < lines; ++i) {
    at.cosine[i] = x(static_cast<Index>(2 + 2 * i));
    at.sine[i] = x(static_cast<Index>(3 + 2 * i));
  }
  return at;
}

}  // namespace lampbeat::signal::lines
