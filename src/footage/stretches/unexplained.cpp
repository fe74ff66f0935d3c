#include "footage/stretches/unexplained.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>
#include <vector>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"

namespace lampbeat::footage::stretches {

namespace {

using Series = std::vector<std::pair<double, double>>;  // frame, value

double typical_size(const std::vector<double>& values) {
  std::vector<double> sizes;
  for (const double v : values) sizes.push_back(std::abs(v));
  return arithmetic::normal_sd * arithmetic::median(sizes);
}

/// A mean and a wave of each roll, at one frame.
Eigen::VectorXd shapes_at(double frame, const std::vector<double>& rolls) {
  Eigen::VectorXd shapes(1 + 2 * static_cast<Eigen::Index>(rolls.size()));
  shapes[0] = 1.0;
  for (std::size_t i = 0; i < rolls.size(); ++i) {
    const auto at = 1 + 2 * static_cast<Eigen::Index>(i);
    shapes[at] = std::cos(arithmetic::turn * rolls[i] * frame);
    shapes[at + 1] = std::sin(arithmetic::turn * rolls[i] * frame);
  }
  return shapes;
}

/// Takes out the mean and whatever moves at these rolls. Somebody who passes in front of the cell
/// does not count.
std::vector<double> without_waves(const Series& series, const std::vector<double>& rolls) {
  constexpr int rounds = 3;
  constexpr double passing_by = 3.0;  // of the typical size of what is left
  const auto size = 1 + 2 * static_cast<Eigen::Index>(rolls.size());
  std::vector<double> left(series.size(), 0.0);
  double reach = std::numeric_limits<double>::infinity();
  for (int round = 0; round < rounds; ++round) {
    Eigen::MatrixXd normal = 1e-9 * Eigen::MatrixXd::Identity(size, size);
    Eigen::VectorXd right = Eigen::VectorXd::Zero(size);
    for (std::size_t i = 0; i < series.size(); ++i) {
      if (std::abs(left[i]) > reach) continue;
      const Eigen::VectorXd shapes = shapes_at(series[i].first, rolls);
      normal += shapes * shapes.transpose();
      right += series[i].second * shapes;
    }
    const Eigen::VectorXd fit = normal.ldlt().solve(right);
    for (std::size_t i = 0; i < series.size(); ++i) {
      left[i] = series[i].second - fit.dot(shapes_at(series[i].first, rolls));
    }
    reach = passing_by * typical_size(left);
  }
  return left;
}

/// Typical square beyond what the differences from frame to frame make of it.
double slow_power(const std::vector<double>& left) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < left.size(); ++i) steps.push_back(left[i] - left[i - 1]);
  return std::max(std::pow(typical_size(left), 2) - 0.5 * std::pow(typical_size(steps), 2), 0.0);
}

}  // namespace

double unexplained_cells(const Parts& parts, const std::vector<waves::Wave>& diluted) {
  constexpr std::size_t enough_rows = 48;  // to see things of a fiftieth of the picture pass
  const rows::Cells& cells = parts.cells;
  std::vector<double> rolls;
  for (const waves::Wave& wave : diluted) rolls.push_back(wave.strongest().order * wave.roll);
  const std::size_t step = std::max<std::size_t>(cells.rows / enough_rows, 1);
  std::vector<double> typical;
  Series series;
  for (std::size_t r = step / 2; r < cells.rows; r += step) {
    for (std::size_t s = 0; s < cells.strips; ++s) {
      series.clear();
      const auto scene = static_cast<double>(parts.scene[r * cells.strips + s]);
      for (std::size_t n = 0; n < cells.frames(); ++n) {
        const auto value = static_cast<double>(cells.at(n, r, s));
        const double left = value / scene / parts.gain[n] - 1.0 - parts.pattern.at(n, r);
        if (!std::isnan(left)) series.push_back({static_cast<double>(n), left});
      }
      if (series.size() < 4 * (1 + 2 * rolls.size())) continue;
      typical.push_back(slow_power(without_waves(series, rolls)));
    }
  }
  return typical.empty() ? 0.0 : std::sqrt(arithmetic::median(typical));
}

double unexplained_rows(const clips::Plane& residual) {
  const std::size_t block = std::max<std::size_t>(residual.rows / 24, 1);
  std::vector<double> means;
  std::vector<double> steps;
  steps.reserve(residual.value.size());
  for (std::size_t n = 0; n < residual.frames; ++n) {
    for (std::size_t r = 0; r + block <= residual.rows; r += block) {
      double sum = residual.at(n, r);
      for (std::size_t i = 1; i < block; ++i) {
        sum += residual.at(n, r + i);
        steps.push_back(std::abs(residual.at(n, r + i) - residual.at(n, r + i - 1)));
      }
      means.push_back(std::abs(sum) / static_cast<double>(block));
    }
  }
  if (means.empty() || steps.empty()) return 0.0;
  const double together = arithmetic::normal_sd * arithmetic::median(means);
  const double alone = arithmetic::normal_sd * arithmetic::median(steps) /
                       std::sqrt(2.0 * static_cast<double>(block));
  return std::sqrt(std::max(together * together - alone * alone, 0.0));
}

}  // namespace lampbeat::footage::stretches
