#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "signal/cycle/fold.hpp"

namespace lampbeat::signal::cycle {

/// Misfit of a curve to the cells that is let pass although the samples can tell, relative to the
/// range: it moves percent flicker by 0.015 % of itself.
inline constexpr double tolerated_misfit = 1.5e-4;

enum class Shape { line, parabola, bowl };  ///< in u; in u; in u and v

/// A cell and how many cells away from the extreme one it lies.
struct Neighbour {
  std::size_t cell = 0;
  double du = 0.0;
  double dv = 0.0;
};

/// Place relative to the extreme cell's centre, in cell widths along and across.
struct Spot {
  double u = 0.0;
  double v = 0.0;
};

/// A polynomial fitted to the means of a few cells.
struct Polynomial {
  using Vector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, 6, 1>;
  using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 6, 6>;

  Shape shape = Shape::line;
  Vector coefficient;
  Matrix inverse;        ///< of the normal equations
  double misfit = 0.0;   ///< weighted sum of squared residuals
  double weight = 0.0;   ///< samples in all
  double freedom = 0.0;  ///< cells beyond the terms

  double at(Spot s) const;
  /// Variance of the value there, in variances of one sample.
  double leverage(Spot s) const;
};

/// Weighted least squares over the cells' samples of one half; u runs along the first rhythm or
/// along the second. Empty where the cells do not determine the terms.
std::optional<Polynomial> fit_polynomial(const Fold& fold, unsigned half, Shape shape,
                                         bool along_first, const std::vector<Neighbour>& cells);

/// Root mean square misfit beyond what the noise explains.
double model_error(const Fold& fold, const Polynomial& p);

/// Whether the noise explains a polynomial's misfit, to within `strictness` standard deviations.
bool stands(const Fold& fold, const Polynomial& p, double strictness);

}  // namespace lampbeat::signal::cycle
