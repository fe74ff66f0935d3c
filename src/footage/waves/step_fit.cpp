#include "footage/waves/step_fit.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "footage/waves/log_pattern.hpp"

namespace lampbeat::footage::waves {

namespace {

// Gauss–Newton steps; the last of them changes what is left by less than so much of it.
constexpr int most_rounds = 12;
constexpr double settled_share = 1e-4;
// Of a strip, to say how much of the pattern it shows.
constexpr Eigen::Index fewest_steps = 8;
// Neighbouring steps that resemble each other more leave too little to count by.
constexpr double most_alike_steps = 0.8;
// Below any rounding: what a picture without noise leaves.
constexpr double nothing_left = 1e-14;
// Of one cycle, to find its extremes.
constexpr int looked_at = 360;

Eigen::VectorXd steps_of(const rows::BlockSteps& steps) {
  return Eigen::Map<const Eigen::VectorXd>(steps.common.data(),
                                           static_cast<Eigen::Index>(steps.common.size()));
}

/// What is left when columns are fitted.
Eigen::VectorXd left_by(const Eigen::MatrixXd& columns, const Eigen::VectorXd& data) {
  return data - columns * columns.householderQr().solve(data);
}

void keep_light(StepFit& fit) {
  double sum = 0.0;
  for (const auto& a : fit.amplitude) sum += std::abs(a);
  if (sum <= deepest_pattern) return;
  for (auto& a : fit.amplitude) a *= deepest_pattern / sum;
}

/// The fundamental of log(1 + m cos) is 2q with m = 2q/(1 + q²).
void start(StepFit& fit, const Eigen::VectorXd& log_amplitudes) {
  for (std::size_t k = 0; k < fit.orders.size(); ++k) {
    const auto at = static_cast<Eigen::Index>(2 * k);
    fit.amplitude[k] = {log_amplitudes[at], log_amplitudes[at + 1]};
    if (k > 0) continue;
    const double q = std::min(0.5 * std::abs(fit.amplitude[0]), 0.9);
    if (q > 0.0) fit.amplitude[0] *= 2.0 * q / (1.0 + q * q) / std::abs(fit.amplitude[0]);
  }
  fit.amplitude.resize(fit.orders.size());
  for (std::size_t k = 1; k < fit.orders.size(); ++k) fit.amplitude[k] = 0.0;
  keep_light(fit);
}

/// Steps that resemble their neighbours hold less independent evidence.
double inflation_of(const Eigen::VectorXd& left) {
  const Eigen::Index n = left.size();
  const double rho = left.head(n - 1).dot(left.tail(n - 1)) / std::max(left.squaredNorm(), 1e-30);
  const double held = std::clamp(rho, 0.0, most_alike_steps);
  return (1.0 + held) / (1.0 - held);
}

void take_swing(StepFit& fit) {
  double highest = -1e9;
  double lowest = 1e9;
  for (int i = 0; i < looked_at; ++i) {
    double light = 1.0;
    for (std::size_t k = 0; k < fit.orders.size(); ++k) {
      light += (fit.amplitude[k] *
                std::polar(1.0, arithmetic::turn * fit.orders[k] * i / double(looked_at)))
                   .real();
    }
    highest = std::max(highest, light);
    lowest = std::min(lowest, light);
  }
  fit.log_swing = 0.5 * std::log(highest / std::max(lowest, 1.0 - deepest_pattern));
}

void take_uncertainties(StepFit& fit, const Linearised& l, double variance) {
  const Eigen::MatrixXd normal = l.by.transpose() * l.by;
  const Eigen::VectorXd scale = normal.diagonal().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  Eigen::MatrixXd scaled = scale.asDiagonal() * normal * scale.asDiagonal();
  scaled.diagonal().array() += 1e-10;
  const Eigen::MatrixXd inverse = scaled.inverse();
  const auto sd_of = [&](Eigen::Index i) {
    return std::sqrt(std::max(inverse(i, i), 0.0) * variance) * scale[i];
  };
  for (std::size_t k = 0; k < fit.orders.size(); ++k) {
    const auto at = static_cast<Eigen::Index>(2 * k);
    fit.amplitude_sd.push_back(
        std::sqrt(0.5 * (std::pow(sd_of(at), 2) + std::pow(sd_of(at + 1), 2))));
  }
  fit.bands_sd = sd_of(l.by.cols() - 1);
}

double left_with(const rows::BlockSteps& steps, const Eigen::VectorXd& data,
                 const Eigen::MatrixXd& shading, const StepFit& fit) {
  return left_by(shading, data - linearise(steps, fit).pattern).squaredNorm();
}

/// One Gauss–Newton step of the amplitudes, shortened until it helps.
bool step_down(const rows::BlockSteps& steps, const Eigen::VectorXd& data,
               const Eigen::MatrixXd& shading, StepFit& fit) {
  const Linearised l = linearise(steps, fit);
  const double before = left_by(shading, data - l.pattern).squaredNorm();
  const Eigen::VectorXd change =
      l.by.leftCols(l.by.cols() - 1).householderQr().solve(data - l.pattern);
  for (double part = 1.0; part > 0.1; part *= 0.5) {
    StepFit tried = fit;
    for (std::size_t k = 0; k < fit.orders.size(); ++k) {
      const auto at = static_cast<Eigen::Index>(2 * k);
      tried.amplitude[k] += part * std::complex<double>(change[at], change[at + 1]);
    }
    keep_light(tried);
    const double after = left_with(steps, data, shading, tried);
    if (after < before) {
      fit = std::move(tried);
      return after < (1.0 - settled_share) * before;
    }
  }
  return false;
}

}  // namespace

StepFit fit_steps(const rows::BlockSteps& steps, double bands, const std::vector<int>& orders) {
  StepFit fit;
  fit.bands = bands;
  fit.orders = orders;
  fit.amplitude.assign(orders.size(), 0.0);
  const Eigen::VectorXd data = steps_of(steps);
  const auto waves = static_cast<Eigen::Index>(2 * orders.size());
  fit.freedom = static_cast<double>(data.size() - waves - shades - 1);
  if (!fit.fitted()) return fit;

  Linearised l = linearise(steps, fit);
  const Eigen::MatrixXd shading = l.by.middleCols(waves, shades);
  const double before = left_by(shading, data).squaredNorm();
  start(fit, l.by.leftCols(waves + shades).householderQr().solve(data));
  for (int round = 0; round < most_rounds; ++round) {
    if (!step_down(steps, data, shading, fit)) break;
  }
  l = linearise(steps, fit);
  const Eigen::VectorXd left = left_by(shading, data - l.pattern);
  const double after = std::max(left.squaredNorm(), nothing_left);
  fit.inflation = inflation_of(left);
  const double explained = std::max(before - after, 0.0) / fit.inflation;
  fit.surprise = 0.5 * fit.freedom * std::log1p(explained / after);
  fit.left_share = std::min(after / std::max(before, nothing_left), 1.0);
  fit.pattern = l.pattern;
  take_swing(fit);
  const double variance = fit.inflation * after / fit.freedom;
  take_uncertainties(fit, l, variance);
  // At no depth the fitted wave is its own log.
  StepFit faint = fit;
  faint.amplitude.assign(orders.size(), 1e-6);
  faint.amplitude_sd.clear();
  take_uncertainties(faint, linearise(steps, faint), variance);
  fit.log_swing_sd = faint.amplitude_sd.front();
  return fit;
}

std::optional<double> share_in_strip(const rows::BlockSteps& steps, const StepFit& fit,
                                     std::size_t strip) {
  std::vector<Eigen::Index> known;
  for (std::size_t i = 0; i < steps.from.size(); ++i) {
    if (!std::isnan(steps.of_strip[i * steps.strips + strip])) {
      known.push_back(static_cast<Eigen::Index>(i));
    }
  }
  const auto n = static_cast<Eigen::Index>(known.size());
  if (4 * known.size() < 3 * steps.from.size() || n < fewest_steps) {
    return std::nullopt;
  }
  Eigen::MatrixXd columns(n, shades + 1);
  Eigen::VectorXd data(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const auto step = static_cast<std::size_t>(known[static_cast<std::size_t>(i)]);
    columns(i, 0) = fit.pattern[known[static_cast<std::size_t>(i)]];
    columns(i, 1) = 1.0;
    columns(i, 2) = steps.place(static_cast<double>(steps.from[step]) + 0.5) - 0.5;
    data[i] = steps.of_strip[step * steps.strips + strip];
  }
  return columns.householderQr().solve(data)[0];
}

}  // namespace lampbeat::footage::waves
