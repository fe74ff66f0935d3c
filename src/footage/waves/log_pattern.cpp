#include "footage/waves/log_pattern.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <vector>

#include "arithmetic/phase.hpp"
#include "lampbeat/exposure.hpp"

namespace lampbeat::footage::waves {

namespace {

/// The pattern and its derivatives at the middle of a block.
struct Place {
  double light = 1.0;                // 1 + pattern
  double by_bands = 0.0;             // of the pattern
  std::vector<double> by_amplitude;  // real and imaginary part of each order
};

Place place_of(const rows::BlockSteps& steps, const StepFit& fit, double block) {
  Place at;
  const double y = steps.place(block);
  for (std::size_t k = 0; k < fit.orders.size(); ++k) {
    const double cycles = fit.orders[k] * fit.bands;
    const double gain = sinc(cycles / static_cast<double>(steps.blocks));
    const std::complex<double> wave = std::polar(gain, arithmetic::turn * cycles * y);
    const std::complex<double> value = fit.amplitude[k] * wave;
    at.light += value.real();
    at.by_bands -= arithmetic::turn * fit.orders[k] * y * value.imag();
    at.by_amplitude.push_back(wave.real());
    at.by_amplitude.push_back(-wave.imag());
  }
  at.light = std::max(at.light, 1.0 - deepest_pattern);
  return at;
}

}  // namespace

Linearised linearise(const rows::BlockSteps& steps, const StepFit& fit) {
  const auto n = static_cast<Eigen::Index>(steps.common.size());
  const auto waves = static_cast<Eigen::Index>(2 * fit.orders.size());
  Linearised l{Eigen::VectorXd(n), Eigen::MatrixXd(n, waves + shades + 1)};
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto from = static_cast<double>(steps.from[static_cast<std::size_t>(i)]);
    const Place a = place_of(steps, fit, from);
    const Place b = place_of(steps, fit, from + 1.0);
    l.pattern[i] = std::log(b.light / a.light);
    for (Eigen::Index w = 0; w < waves; ++w) {
      const auto k = static_cast<std::size_t>(w);
      l.by(i, w) = b.by_amplitude[k] / b.light - a.by_amplitude[k] / a.light;
    }
    l.by(i, waves) = 1.0;
    l.by(i, waves + 1) = steps.place(from + 0.5) - 0.5;
    l.by(i, waves + 2) = b.by_bands / b.light - a.by_bands / a.light;
  }
  return l;
}

}  // namespace lampbeat::footage::waves
