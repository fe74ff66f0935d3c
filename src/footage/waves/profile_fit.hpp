#pragma once

#include <Eigen/Dense>
#include <complex>
#include <vector>

#include "footage/waves/row_profile.hpp"

namespace lampbeat::footage::waves {

/// The usable rows of a profile, for least squares.
struct ProfileRows {
  std::vector<double> place;  ///< in the picture, 0 ... 1
  Eigen::VectorXd value;
  clips::RowScale scale;
  int shading_degree = 0;

  Eigen::Index size() const { return value.size(); }
};
ProfileRows usable_rows(const RowProfile& profile);

/// Best shading · (1 + Σ harmonics) for one number of bands.
struct ProfileFit {
  double squares = 0.0;  ///< left over
  std::vector<std::complex<double>> amplitudes;
  std::vector<double> sd;    ///< for white noise of what is left over
  double correlation = 0.0;  ///< of neighbouring residuals
  Eigen::VectorXd shading;   ///< of each row, positive
};

/// Fits so many bands of these orders to rows that `shading`, as far as it is known, brightens.
ProfileFit fit_profile(const ProfileRows& rows, const Eigen::VectorXd& shading, double bands,
                       const std::vector<int>& orders);

/// The even shading to start from.
Eigen::VectorXd even_shading(const ProfileRows& rows);

/// The bands between `from` and `to` that leave least unexplained.
double best_bands(const ProfileRows& rows, const Eigen::VectorXd& shading,
                  const std::vector<int>& orders, double from, double to);

}  // namespace lampbeat::footage::waves
