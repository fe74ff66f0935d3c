#include "signal/cycle/cell_polynomial.hpp"

#include <Eigen/LU>
#include <cmath>

namespace lampbeat::signal::cycle {
namespace {

using Vector = Polynomial::Vector;
using Matrix = Polynomial::Matrix;

/// A pivot of equations scaled to a unit diagonal that leaves six of a double's sixteen digits.
constexpr double singular = 1e-10;
/// With a single spare cell, misfit is too often small by chance.
constexpr double fewest_to_judge = 2.0;

int terms(Shape shape) { return shape == Shape::line ? 2 : shape == Shape::parabola ? 3 : 6; }

Vector basis_at(Shape shape, Spot at) {
  Vector x(terms(shape));
  x(0) = 1.0;
  x(1) = at.u;
  if (shape != Shape::line) x(2) = at.u * at.u;
  if (shape == Shape::bowl) {
    x(3) = at.v;
    x(4) = at.v * at.v;
    x(5) = at.u * at.v;
  }
  return x;
}

/// The basis averaged over the samples of a cell: a cell's mean is then the polynomial's mean over
/// it, and wide cells do not flatten a crest.
Vector basis_over(Shape shape, const Neighbour& at, const CellSums& sums, bool along_first) {
  const double n = sums.count;
  const double u = (along_first ? sums.u : sums.v) / n;
  const double uu = (along_first ? sums.uu : sums.vv) / n;
  const double v = (along_first ? sums.v : sums.u) / n;
  const double vv = (along_first ? sums.vv : sums.uu) / n;
  Vector x(terms(shape));
  x(0) = 1.0;
  x(1) = at.du + u;
  if (shape != Shape::line) x(2) = at.du * at.du + 2.0 * at.du * u + uu;
  if (shape == Shape::bowl) {
    x(3) = at.dv + v;
    x(4) = at.dv * at.dv + 2.0 * at.dv * v + vv;
    x(5) = at.du * at.dv + at.du * v + at.dv * u + sums.uv / n;
  }
  return x;
}

}  // namespace

double Polynomial::at(Spot s) const { return basis_at(shape, s).dot(coefficient); }

double Polynomial::leverage(Spot s) const {
  const Vector x = basis_at(shape, s);
  return x.dot(inverse * x);
}

std::optional<Polynomial> fit_polynomial(const Fold& fold, unsigned half, Shape shape,
                                         bool along_first, const std::vector<Neighbour>& cells) {
  Polynomial p;
  p.shape = shape;
  const int k = terms(shape);
  Matrix normal = Matrix::Zero(k, k);
  Vector right = Vector::Zero(k);
  for (const Neighbour& c : cells) {
    const CellSums& sums = fold.half[half][c.cell];
    const Vector x = basis_over(shape, c, sums, along_first);
    normal += sums.count * x * x.transpose();
    right += sums.value * x;
    p.weight += sums.count;
  }
  // Scaled to a unit diagonal, so that "singular" means the geometry and not the units.
  Vector scale(k);
  for (int i = 0; i < k; ++i) {
    if (!(normal(i, i) > 0.0)) return std::nullopt;
    scale(i) = 1.0 / std::sqrt(normal(i, i));
  }
  const Matrix scaled = scale.asDiagonal() * normal * scale.asDiagonal();
  Eigen::FullPivLU<Matrix> lu(scaled);
  lu.setThreshold(singular);
  if (!lu.isInvertible()) return std::nullopt;
  p.inverse = scale.asDiagonal() * lu.inverse() * scale.asDiagonal();
  p.coefficient = p.inverse * right;
  p.freedom = static_cast<double>(cells.size()) - k;
  for (const Neighbour& c : cells) {
    const CellSums& sums = fold.half[half][c.cell];
    const double r = sums.mean() - basis_over(shape, c, sums, along_first).dot(p.coefficient);
    p.misfit += sums.count * r * r;
  }
  return p;
}

double model_error(const Fold& fold, const Polynomial& p) {
  const double excess = p.misfit - fold.noise_sd * fold.noise_sd * p.freedom;
  return excess > 0.0 ? std::sqrt(excess / p.weight) : 0.0;
}

bool stands(const Fold& fold, const Polynomial& p, double strictness) {
  if (p.freedom < fewest_to_judge) return false;
  const double tolerated = tolerated_misfit * fold.range;
  return p.misfit <=
         fold.noise_sd * fold.noise_sd * (p.freedom + strictness * std::sqrt(2.0 * p.freedom)) +
             tolerated * tolerated * p.weight;
}

}  // namespace lampbeat::signal::cycle
