#pragma once

#include <Eigen/Cholesky>
#include <Eigen/Core>

namespace lampbeat::signal::lines {

/// Solves normal equations by Cholesky after scaling every unknown to unit length, so that
/// frequencies and amplitudes, whatever their units, count alike. A fundamental that nothing
/// depends on (all its lines at zero amplitude) is held where it is.
class ScaledSolver {
 public:
  explicit ScaledSolver(const Eigen::MatrixXd& gram);
  Eigen::VectorXd solve(const Eigen::VectorXd& right) const;
  Eigen::MatrixXd inverse() const;

 private:
  Eigen::VectorXd scale_;
  Eigen::LLT<Eigen::MatrixXd> factor_;
};

}  // namespace lampbeat::signal::lines
