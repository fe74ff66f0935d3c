#include "footage/waves/profile_fit.hpp"
#include "arithmetic/phase.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::waves {

namespace {

// A surface that reflects next to nothing cannot be divided by.
constexpr double least_shading = 1e-6;

/// Powers of the place for the shading, then cosine and sine of each order, as the rows' averaging
/// and the shading leave them.
Eigen::MatrixXd columns_of(const ProfileRows& rows, const Eigen::VectorXd& shading, double bands,
                           const std::vector<int>& orders) {
  const auto shades = static_cast<Eigen::Index>(rows.shading_degree) + 1;
  const auto waves = static_cast<Eigen::Index>(orders.size());
  Eigen::MatrixXd columns(rows.size(), shades + 2 * waves);
  for (Eigen::Index r = 0; r < rows.size(); ++r) {
    const double y = rows.place[static_cast<std::size_t>(r)];
    double power = 1.0;
    for (Eigen::Index d = 0; d < shades; ++d, power *= 2.0 * y - 1.0) columns(r, d) = power;
    for (Eigen::Index w = 0; w < waves; ++w) {
      const int order = orders[static_cast<std::size_t>(w)];
      const double gain = rows.scale.gain(order * bands) * shading[r];
      columns(r, shades + 2 * w) = gain * std::cos(arithmetic::turn * order * bands * y);
      columns(r, shades + 2 * w + 1) = -gain * std::sin(arithmetic::turn * order * bands * y);
    }
  }
  return columns;
}

}  // namespace

ProfileRows usable_rows(const RowProfile& profile) {
  ProfileRows rows;
  rows.scale = profile.scale;
  rows.shading_degree = profile.shading_degree;
  std::vector<double> known;
  for (std::size_t r = 0; r < profile.value.size(); ++r) {
    if (std::isnan(profile.value[r])) continue;
    rows.place.push_back(profile.scale.place(r));
    known.push_back(profile.value[r]);
  }
  rows.value = Eigen::Map<const Eigen::VectorXd>(known.data(), std::ssize(known));
  return rows;
}

Eigen::VectorXd even_shading(const ProfileRows& rows) {
  return Eigen::VectorXd::Constant(rows.size(), rows.size() > 0 ? rows.value.mean() : 1.0);
}

ProfileFit fit_profile(const ProfileRows& rows, const Eigen::VectorXd& shading, double bands,
                       const std::vector<int>& orders) {
  const Eigen::MatrixXd columns = columns_of(rows, shading, bands, orders);
  const auto shades = static_cast<Eigen::Index>(rows.shading_degree) + 1;
  const Eigen::MatrixXd normal = columns.transpose() * columns;
  const Eigen::LDLT<Eigen::MatrixXd> factor(normal);
  const Eigen::VectorXd best = factor.solve(columns.transpose() * rows.value);
  const Eigen::VectorXd left = rows.value - columns * best;
  ProfileFit fit;
  fit.shading = (columns.leftCols(shades) * best.head(shades)).cwiseMax(least_shading);
  fit.squares = left.squaredNorm();
  const Eigen::Index n = rows.size();
  if (n > 2) {
    fit.correlation = left.head(n - 1).dot(left.tail(n - 1)) / std::max(fit.squares, 1e-30);
  }
  const double freedom = std::max<double>(1.0, static_cast<double>(n - columns.cols()));
  const Eigen::MatrixXd inverse =
      factor.solve(Eigen::MatrixXd::Identity(normal.rows(), normal.cols()));
  for (Eigen::Index at = shades; at < columns.cols(); at += 2) {
    fit.amplitudes.emplace_back(best[at], best[at + 1]);
    fit.sd.push_back(std::sqrt(fit.squares / freedom *
                               std::max(0.5 * (inverse(at, at) + inverse(at + 1, at + 1)), 0.0)));
  }
  return fit;
}

double best_bands(const ProfileRows& rows, const Eigen::VectorXd& shading,
                  const std::vector<int>& orders, double from, double to) {
  constexpr double golden = 0.6180339887498949;
  constexpr int narrowings = 40;  // to a part in 10^8
  const auto left = [&](double bands) { return fit_profile(rows, shading, bands, orders).squares; };
  for (int i = 0; i < narrowings; ++i) {
    const double a = to - golden * (to - from);
    const double b = from + golden * (to - from);
    if (left(a) < left(b)) {
      to = b;
    } else {
      from = a;
    }
  }
  return 0.5 * (from + to);
}

}  // namespace lampbeat::footage::waves
