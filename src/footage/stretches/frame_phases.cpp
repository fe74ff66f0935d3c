#include "footage/stretches/frame_phases.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "footage/rows/ratios.hpp"
#include "footage/stretches/unexplained.hpp"

namespace lampbeat::footage {

namespace {

using Complex = std::complex<double>;
constexpr double turn = 2.0 * std::numbers::pi;
constexpr double step = 0.1;  // of bands, in the search
constexpr double fewest = 0.4;
constexpr double most = 24.0;

/// Some strips of a stretch.
Cells part_of(const Cells& cells, std::size_t from, std::size_t to) {
  Cells part = cells;
  part.strips = to - from;
  part.value.clear();
  for (std::size_t i = 0; i < cells.value.size(); i += cells.strips) {
    for (std::size_t s = from; s < to; ++s) part.value.push_back(cells.value[i + s]);
  }
  return part;
}

/// Rows over the unchanging scene and the frame's level, less what stands still; 0 in gaps.
Plane moving_part(const Cells& cells) {
  const std::size_t frames = cells.frames();
  const auto scene = scene_of(cells, Plane(frames, cells.rows), std::vector<double>(frames, 1.0));
  Plane plane = ratios(cells, scene);
  std::vector<double> known;
  std::vector<double> row_sum(plane.rows, 0.0);
  std::vector<double> row_count(plane.rows, 0.0);
  for (std::size_t n = 0; n < frames; ++n) {
    known.clear();
    for (std::size_t r = 0; r < plane.rows; ++r) {
      if (!std::isnan(plane.at(n, r))) known.push_back(plane.at(n, r));
    }
    double level = 0.0;
    for (const double v : known) level += v;
    level = known.empty() ? 1.0 : std::max(level / static_cast<double>(known.size()), 1e-3);
    for (std::size_t r = 0; r < plane.rows; ++r) {
      double& v = plane.at(n, r);
      v = v / level - 1.0;
      if (std::isnan(v)) continue;
      row_sum[r] += v;
      row_count[r] += 1.0;
    }
  }
  for (std::size_t n = 0; n < frames; ++n) {
    for (std::size_t r = 0; r < plane.rows; ++r) {
      double& v = plane.at(n, r);
      v = std::isnan(v) ? 0.0 : v - row_sum[r] / std::max(row_count[r], 1.0);
    }
  }
  return plane;
}

/// Cosines and sines of the first two orders down the rows, their means taken out.
Eigen::MatrixXd down_the_rows(const Plane& plane, const RowScale& scale, double bands, int orders) {
  Eigen::MatrixXd columns(static_cast<Eigen::Index>(plane.rows), 2 * orders);
  for (Eigen::Index r = 0; r < columns.rows(); ++r) {
    for (int order = 1; order <= orders; ++order) {
      const double angle = turn * order * bands * scale.place(static_cast<std::size_t>(r));
      columns(r, 2 * order - 2) = std::cos(angle);
      columns(r, 2 * order - 1) = -std::sin(angle);
    }
  }
  columns.rowwise() -= columns.colwise().mean();
  return columns;
}

using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
Eigen::Map<const Rows> as_matrix(const Plane& plane) {
  return {plane.value.data(), static_cast<Eigen::Index>(plane.frames),
          static_cast<Eigen::Index>(plane.rows)};
}

double explained(const Plane& plane, const RowScale& scale, double bands) {
  const Eigen::MatrixXd columns = down_the_rows(plane, scale, bands, 1);
  const Eigen::MatrixXd seen = as_matrix(plane) * columns;
  const Eigen::MatrixXd normal = columns.transpose() * columns;
  return (seen * normal.inverse()).cwiseProduct(seen).sum();
}

double best_bands(const Plane& plane, const RowScale& scale) {
  const double highest = std::min(most, 0.2 * static_cast<double>(plane.rows));
  double best = fewest;
  double most_explained = 0.0;
  const auto consider = [&](double bands) {
    const double e = explained(plane, scale, bands);
    if (e > most_explained) {
      most_explained = e;
      best = bands;
    }
  };
  for (double bands = fewest; bands < highest; bands += step) consider(bands);
  const double coarse = best;
  for (int i = -9; i <= 9; ++i) consider(std::max(coarse + 0.1 * step * i, fewest));
  return best;
}

/// Fits the frames; returns the residual.
Plane fit(const Plane& plane, const RowScale& scale, FramePhases& phases) {
  const int orders = phases.bands < 0.75 ? 1 : 2;
  const Eigen::MatrixXd columns = down_the_rows(plane, scale, phases.bands, orders);
  const Eigen::MatrixXd inverse = (columns.transpose() * columns).inverse();
  const Eigen::MatrixXd best = as_matrix(plane) * columns * inverse;
  Plane left = plane;
  Eigen::Map<Rows> residual(left.value.data(), best.rows(), columns.rows());
  residual -= best * columns.transpose();
  std::vector<double> depths;
  Complex second = 0.0;
  for (Eigen::Index n = 0; n < best.rows(); ++n) {
    const Complex z(best(n, 0), best(n, 1));
    phases.amplitude.push_back(z);
    if (z == Complex(0.0)) continue;
    depths.push_back(std::abs(z));
    if (orders == 2) {
      const Complex u = z / std::abs(z);
      second += Complex(best(n, 2), best(n, 3)) * std::conj(u * u);
    }
  }
  if (!depths.empty()) {
    phases.second = second / static_cast<double>(depths.size());
    phases.depth = median(depths);
  }
  const double row_noise = residual.norm() / std::sqrt(static_cast<double>(left.value.size()));
  phases.noise = row_noise * std::sqrt(0.5 * (inverse(0, 0) + inverse(1, 1)));
  return left;
}

FramePhases phases_of(const Cells& cells, const Plane& plane, double bands) {
  FramePhases phases;
  phases.bands = bands;
  phases.left = unexplained_rows(fit(plane, cells.scale, phases));
  if (cells.strips < 2) return phases;
  const std::size_t half = cells.strips / 2;
  FramePhases left;
  FramePhases right;
  left.bands = right.bands = bands;
  fit(moving_part(part_of(cells, 0, half)), cells.scale, left);
  fit(moving_part(part_of(cells, half, cells.strips)), cells.scale, right);
  Complex both = 0.0;
  double power = 0.0;
  for (std::size_t n = 0; n < left.amplitude.size(); ++n) {
    both += left.amplitude[n] * std::conj(right.amplitude[n]);
    power += 0.5 * (std::norm(left.amplitude[n]) + std::norm(right.amplitude[n]));
  }
  phases.agreement = power > 0.0 ? std::max(both.real() / power, 0.0) : 0.0;
  return phases;
}

}  // namespace

double FramePhases::phase_sd() const { return depth > 0.0 ? noise / (turn * depth) : 1.0; }

FramePhases frame_phases(const Cells& cells, double bands) {
  return phases_of(cells, moving_part(cells), bands);
}

FramePhases frame_phases(const Cells& cells) {
  const Plane plane = moving_part(cells);
  return phases_of(cells, plane, best_bands(plane, cells.scale));
}

}  // namespace lampbeat::footage
