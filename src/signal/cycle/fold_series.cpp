#include <Eigen/Dense>
#include <cmath>
#include <vector>

#include "arithmetic/phase.hpp"
#include "signal/cycle/cell_polynomial.hpp"
#include "signal/cycle/fold.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Distinct phases that are worth a series: more of them show the cycle by themselves, fewer leave
/// none to confirm what the others determine.
constexpr std::size_t most_phases = 64;
constexpr std::size_t fewest_phases = 6;
/// Where more than three quarters of the cells are filled, the phases are not distinct.
constexpr double most_filled = 0.75;
/// A pivot that leaves half of a double's digits.
constexpr double singular_series = 1e-8;
/// A crest lies at most half a step off, where the k-th harmonic is k² · 2e-5 of its amplitude
/// lower.
constexpr int steps = 512;

Eigen::RowVectorXd basis(double phase, int harmonics) {
  Eigen::RowVectorXd x(2 * harmonics + 1);
  x(0) = 1.0;
  for (int k = 1; k <= harmonics; ++k) {
    const double angle = arithmetic::turn * k * phase;
    x(2 * k - 1) = std::cos(angle);
    x(2 * k) = std::sin(angle);
  }
  return x;
}

struct Series {
  Eigen::VectorXd coefficient;
  Eigen::MatrixXd inverse;
  double misfit = 0.0;
  double weight = 0.0;
};

std::optional<Series> fit(const Fold& fold, unsigned half, const std::vector<std::size_t>& cells,
                          int harmonics) {
  const auto rows = static_cast<Eigen::Index>(cells.size());
  Eigen::MatrixXd x(rows, 2 * harmonics + 1);
  Eigen::VectorXd y(rows), weight(rows);
  for (Eigen::Index i = 0; i < rows; ++i) {
    const CellSums& sums = fold.half[half][cells[static_cast<std::size_t>(i)]];
    const double place = static_cast<double>(cells[static_cast<std::size_t>(i)]) + 0.5;
    const double phase = (place + sums.u / sums.count) / static_cast<double>(fold.resolution.first);
    x.row(i) = basis(phase, harmonics);
    y(i) = sums.mean();
    weight(i) = sums.count;
  }
  const Eigen::MatrixXd normal = x.transpose() * weight.asDiagonal() * x;
  Eigen::FullPivLU<Eigen::MatrixXd> lu(normal);
  lu.setThreshold(singular_series);
  if (!lu.isInvertible()) return std::nullopt;
  Series series;
  series.inverse = lu.inverse();
  series.coefficient = series.inverse * (x.transpose() * weight.asDiagonal() * y);
  const Eigen::VectorXd residual = y - x * series.coefficient;
  series.misfit = residual.dot(weight.asDiagonal() * residual);
  series.weight = weight.sum();
  return series;
}

}  // namespace

std::optional<Reading> read_series(const Fold& fold, unsigned chosen_in, double sign) {
  std::vector<std::size_t> cells;
  for (std::size_t i = 0; i < fold.resolution.cells() && cells.size() <= most_phases; ++i) {
    if (fold.usable(i)) cells.push_back(i);
  }
  const std::size_t phases = cells.size();
  if (phases < fewest_phases || phases > most_phases ||
      static_cast<double>(phases) > most_filled * static_cast<double>(fold.resolution.cells())) {
    return std::nullopt;
  }
  // At least half of the phases must confirm the series that the others would determine.
  for (int harmonics = 1; 2 * (2 * static_cast<std::size_t>(harmonics) + 1) <= phases;
       ++harmonics) {
    const auto chosen = fit(fold, chosen_in, cells, harmonics);
    if (!chosen) return std::nullopt;
    const double freedom = static_cast<double>(phases) - (2.0 * harmonics + 1.0);
    const double variance = fold.noise_sd * fold.noise_sd;
    const double tolerated = tolerated_misfit * fold.range;
    if (chosen->misfit >
        variance * (freedom + std::sqrt(2.0 * freedom)) + tolerated * tolerated * chosen->weight) {
      continue;
    }
    const auto other = fit(fold, 1 - chosen_in, cells, harmonics);
    if (!other) return std::nullopt;
    Eigen::RowVectorXd place = basis(0.0, harmonics);
    double most = sign * place.dot(chosen->coefficient);
    for (int i = 1; i < steps; ++i) {
      const Eigen::RowVectorXd x = basis(static_cast<double>(i) / steps, harmonics);
      const double value = sign * x.dot(chosen->coefficient);
      if (value > most) {
        most = value;
        place = x;
      }
    }
    const double leverage = (place * other->inverse).dot(place);
    return Reading{place.dot(other->coefficient), variance * leverage};
  }
  return std::nullopt;
}

}  // namespace lampbeat::signal::cycle
