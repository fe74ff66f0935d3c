#include "signal/lines/scaled_solver.hpp"

namespace lampbeat::signal::lines {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// An unknown whose column is this much shorter than the longest is one that nothing depends on:
/// half the range of a double, whose squares would vanish.
constexpr double no_length = 1e-150;
/// Added to the unit diagonal: some five hundred roundings of a double (2.2e-16), so that what
/// rounding alone makes singular still factors and nothing that can be measured moves.
constexpr double ridge = 1e-13;
/// For equations singular all the same, two lines on one place: the root of a rounding, beyond
/// which a double cannot tell the two apart.
constexpr double firm_ridge = 1e-8;

}  // namespace

ScaledSolver::ScaledSolver(const MatrixXd& gram) {
  scale_ = gram.diagonal().cwiseMax(0.0).cwiseSqrt();
  const double largest = scale_.maxCoeff();
  for (double& s : scale_) s = s > no_length * (largest + no_length) && s > 0.0 ? 1.0 / s : 0.0;
  MatrixXd scaled = scale_.asDiagonal() * gram * scale_.asDiagonal();
  scaled.diagonal().array() += ridge;
  for (Index i = 0; i < scaled.rows(); ++i) {
    if (scale_(i) == 0.0) scaled(i, i) = 1.0;
  }
  factor_.compute(scaled);
  if (factor_.info() != Eigen::Success) {
    scaled.diagonal().array() += firm_ridge;
    factor_.compute(scaled);
  }
}

VectorXd ScaledSolver::solve(const VectorXd& right) const {
  return scale_.cwiseProduct(factor_.solve(scale_.cwiseProduct(right)));
}

MatrixXd ScaledSolver::inverse() const {
  const MatrixXd scaled = factor_.solve(MatrixXd::Identity(scale_.size(), scale_.size()));
  return scale_.asDiagonal() * scaled * scale_.asDiagonal();
}

}  // namespace lampbeat::signal::lines
