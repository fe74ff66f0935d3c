#include "footage/waves/standing.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace lampbeat::footage {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double unusable = std::numeric_limits<double>::quiet_NaN();
// What the pattern explains, over the variance it would explain in noise.
constexpr double significant = 40.0;
constexpr int highest_order = 6;

double median_ratio(std::vector<double>& ratios) {
  return ratios.empty() ? unusable : median(ratios);
}

/// The profile as least squares sees it: shading · (1 + Σ harmonics).
class ProfileFit {
 public:
  explicit ProfileFit(const RowProfile& profile) : profile_(profile) {
    for (std::size_t r = 0; r < profile.value.size(); ++r) {
      if (std::isnan(profile.value[r])) continue;
      place_.push_back(profile.scale.place(r));
      data_.conservativeResize(static_cast<Eigen::Index>(place_.size()));
      data_[data_.size() - 1] = profile.value[r];
    }
    shading_ = Eigen::VectorXd::Constant(data_.size(), data_.size() > 0 ? data_.mean() : 1.0);
  }

  Eigen::Index rows() const { return data_.size(); }
  double unexplained_by_shading() { return solve(0.0, {}).squares; }

  struct Solution {
    double squares = 0.0;  // left over
    std::vector<std::complex<double>> amplitudes;
    std::vector<double> sd;    // for white noise of what is left over
    double correlation = 0.0;  // of neighbouring residuals
  };

  /// Best shading and amplitudes for so many bands and these orders.
  Solution solve(double bands, const std::vector<int>& orders) {
    const auto shades = static_cast<Eigen::Index>(profile_.shading_degree) + 1;
    const auto waves = static_cast<Eigen::Index>(orders.size());
    Eigen::MatrixXd columns(rows(), shades + 2 * waves);
    for (Eigen::Index r = 0; r < rows(); ++r) {
      const double y = place_[static_cast<std::size_t>(r)];
      double power = 1.0;
      for (Eigen::Index d = 0; d < shades; ++d, power *= 2.0 * y - 1.0) columns(r, d) = power;
      for (Eigen::Index w = 0; w < waves; ++w) {
        const int order = orders[static_cast<std::size_t>(w)];
        const double gain = profile_.scale.gain(order * bands) * shading_[r];
        columns(r, shades + 2 * w) = gain * std::cos(turn * order * bands * y);
        columns(r, shades + 2 * w + 1) = -gain * std::sin(turn * order * bands * y);
      }
    }
    const Eigen::MatrixXd normal = columns.transpose() * columns;
    const Eigen::LDLT<Eigen::MatrixXd> factor(normal);
    const Eigen::VectorXd best = factor.solve(columns.transpose() * data_);
    const Eigen::VectorXd left = data_ - columns * best;
    last_shading_ = columns.leftCols(shades) * best.head(shades);
    Solution solution;
    solution.squares = left.squaredNorm();
    if (rows() > 2) {
      solution.correlation =
          left.head(rows() - 1).dot(left.tail(rows() - 1)) / std::max(solution.squares, 1e-30);
    }
    const double freedom = std::max<double>(1.0, static_cast<double>(rows() - columns.cols()));
    const Eigen::MatrixXd inverse =
        factor.solve(Eigen::MatrixXd::Identity(normal.rows(), normal.cols()));
    for (Eigen::Index w = 0; w < waves; ++w) {
      const Eigen::Index at = shades + 2 * w;
      solution.amplitudes.emplace_back(best[at], best[at + 1]);
      solution.sd.push_back(
          std::sqrt(solution.squares / freedom *
                    std::max(0.5 * (inverse(at, at) + inverse(at + 1, at + 1)), 0.0)));
    }
    return solution;
  }

  /// Takes the last solution's shading as what the waves multiply.
  void keep_shading() { shading_ = last_shading_.cwiseMax(1e-6); }

 private:
  const RowProfile& profile_;
  std::vector<double> place_;
  Eigen::VectorXd data_;
  Eigen::VectorXd shading_;
  Eigen::VectorXd last_shading_;
};

/// The bands between `from` and `to` that leave least unexplained.
double best_between(ProfileFit& fit, const std::vector<int>& orders, double from, double to) {
  constexpr double golden = 0.6180339887498949;
  for (int i = 0; i < 40; ++i) {
    const double a = to - golden * (to - from);
    const double b = from + golden * (to - from);
    if (fit.solve(a, orders).squares < fit.solve(b, orders).squares) {
      to = b;
    } else {
      from = a;
    }
  }
  return 0.5 * (from + to);
}

}  // namespace

RowProfile wall_profile(const std::vector<float>& scene, const Cells& layout) {
  // Each strip against its own middle: light may fall off across the picture.
  RowProfile profile{std::vector<double>(layout.rows, unusable), layout.scale, 3, 1.0};
  std::vector<double> middle(layout.strips);
  for (std::size_t s = 0; s < layout.strips; ++s) {
    std::vector<double> known;
    for (std::size_t r = 0; r < layout.rows; ++r) {
      const float v = scene[r * layout.strips + s];
      if (!std::isnan(v)) known.push_back(static_cast<double>(v));
    }
    middle[s] = median_ratio(known);
  }
  for (std::size_t r = 0; r < layout.rows; ++r) {
    std::vector<double> strips;
    for (std::size_t s = 0; s < layout.strips; ++s) {
      const double v = static_cast<double>(scene[r * layout.strips + s]) / middle[s];
      if (!std::isnan(v)) strips.push_back(v);
    }
    profile.value[r] = median_ratio(strips);
  }
  return profile;
}

RowProfile against_reference(const std::vector<float>& scene, const std::vector<float>& reference,
                             const Cells& layout) {
  RowProfile profile{std::vector<double>(layout.rows, unusable), layout.scale, 0, 0.4};
  for (std::size_t r = 0; r < layout.rows; ++r) {
    std::vector<double> strips;
    for (std::size_t s = 0; s < layout.strips; ++s) {
      const std::size_t cell = r * layout.strips + s;
      const float v = scene[cell] / reference[cell];
      if (!std::isnan(v)) strips.push_back(static_cast<double>(v));
    }
    profile.value[r] = median_ratio(strips);
  }
  return profile;
}

StandingSearch find_standing(const RowProfile& profile) {
  StandingSearch search;
  ProfileFit fit(profile);
  if (fit.rows() < 24) return search;
  const double shading_only = fit.unexplained_by_shading();
  fit.keep_shading();

  // A quarter of the resolution of the picture's height at a time.
  const double most_bands = 0.3 * static_cast<double>(fit.rows());
  double bands = profile.fewest_bands;
  double least = shading_only;
  const int tries = static_cast<int>(std::ceil((most_bands - profile.fewest_bands) / 0.2));
  for (int i = 0; i < tries; ++i) {
    const double b = profile.fewest_bands + 0.2 * i;
    const double left = fit.solve(b, {1}).squares;
    if (left < least) {
      least = left;
      bands = b;
    }
  }
  std::vector<int> orders{1};
  const auto improve = [&] {
    bands = best_between(fit, orders, std::max(profile.fewest_bands, bands - 0.2), bands + 0.2);
    ProfileFit::Solution solution = fit.solve(bands, orders);
    fit.keep_shading();
    return solution;
  };
  improve();
  for (int order = 2; order <= highest_order && order * bands < most_bands; ++order) {
    orders.push_back(order);
  }
  ProfileFit::Solution solution = improve();
  // Residuals that resemble their neighbours hold less independent evidence.
  const double rho = std::clamp(solution.correlation, 0.0, 0.95);
  const double inflation = (1.0 + rho) / (1.0 - rho);
  std::vector<int> kept{1};
  for (std::size_t k = 1; k < orders.size(); ++k) {
    const double amplitude = std::abs(solution.amplitudes[k]);
    if (amplitude > 4.0 * solution.sd[k] * std::sqrt(inflation) &&
        amplitude > 0.01 * std::abs(solution.amplitudes.front())) {
      kept.push_back(orders[k]);
    }
  }
  orders = kept;
  solution = improve();

  const auto n = static_cast<double>(fit.rows());
  const double variance = std::max(inflation * solution.squares / n, 1e-12);
  search.smallest_seen = std::max(5e-4, std::sqrt(2.0 * significant * variance / n));
  const double amplitude = std::abs(solution.amplitudes.front());
  const bool at_edge = bands < profile.fewest_bands + 1e-3;
  if ((shading_only - solution.squares) / variance < significant || at_edge || amplitude > 1.0 ||
      amplitude < search.smallest_seen) {
    return search;
  }
  Wave wave;
  wave.bands = bands;
  constexpr double step = 0.01;
  const double curvature = (fit.solve(bands + step, orders).squares +
                            fit.solve(bands - step, orders).squares - 2.0 * solution.squares) /
                           (step * step);
  wave.bands_sd = curvature > 0.0 ? std::sqrt(2.0 * variance / curvature) : bands;
  for (std::size_t k = 0; k < orders.size(); ++k) {
    wave.harmonics.push_back(
        {orders[k], solution.amplitudes[k], solution.sd[k] * std::sqrt(inflation), {}});
  }
  search.wave = wave;
  return search;
}

}  // namespace lampbeat::footage
