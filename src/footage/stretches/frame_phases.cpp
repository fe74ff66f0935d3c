#include "footage/stretches/frame_phases.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <utility>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "footage/stretches/moving_part.hpp"
#include "footage/stretches/unexplained.hpp"

namespace lampbeat::footage::stretches {

namespace {

using Complex = std::complex<double>;
// Bands: a tenth bends the pattern at the picture's edge by a twentieth of a cycle either way.
constexpr double step = 0.1;
constexpr double finer_step = 0.1 * step;
constexpr int finer_steps = 9;  // to either side
// Fewer are shading, more than 24 no lamp on the mains makes within a frame; five rows to a band.
constexpr double fewest = 0.4;
constexpr double most = 24.0;
constexpr double of_the_rows = 0.2;
// Less than this of a band is told badly from its own second harmonic.
constexpr double one_order_below = 0.75;

/// Cosines and sines of the first two orders down the rows, their means taken out.
Eigen::MatrixXd down_the_rows(const clips::Plane& plane, const clips::RowScale& scale, double bands,
                              int orders) {
  Eigen::MatrixXd columns(static_cast<Eigen::Index>(plane.rows), 2 * orders);
  for (Eigen::Index r = 0; r < columns.rows(); ++r) {
    for (int order = 1; order <= orders; ++order) {
      const double angle =
          arithmetic::turn * order * bands * scale.place(static_cast<std::size_t>(r));
      columns(r, 2 * order - 2) = std::cos(angle);
      columns(r, 2 * order - 1) = -std::sin(angle);
    }
  }
  columns.rowwise() -= columns.colwise().mean();
  return columns;
}

using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
Eigen::Map<const Rows> as_matrix(const clips::Plane& plane) {
  return {plane.value.data(), static_cast<Eigen::Index>(plane.frames),
          static_cast<Eigen::Index>(plane.rows)};
}

double explained(const clips::Plane& plane, const clips::RowScale& scale, double bands) {
  const Eigen::MatrixXd columns = down_the_rows(plane, scale, bands, 1);
  const Eigen::MatrixXd seen = as_matrix(plane) * columns;
  const Eigen::MatrixXd normal = columns.transpose() * columns;
  return (seen * normal.inverse()).cwiseProduct(seen).sum();
}

double best_bands(const clips::Plane& plane, const clips::RowScale& scale) {
  const double highest = std::min(most, of_the_rows * static_cast<double>(plane.rows));
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
  for (int i = -finer_steps; i <= finer_steps; ++i)
    consider(std::max(coarse + finer_step * i, fewest));
  return best;
}

/// Fits the frames; returns what that leaves of them.
clips::Plane fit(clips::Plane plane, const clips::RowScale& scale, FramePhases& phases) {
  const int orders = phases.bands < one_order_below ? 1 : 2;
  const Eigen::MatrixXd columns = down_the_rows(plane, scale, phases.bands, orders);
  const Eigen::MatrixXd inverse = (columns.transpose() * columns).inverse();
  const Eigen::MatrixXd best = as_matrix(plane) * columns * inverse;
  Eigen::Map<Rows> residual(plane.value.data(), best.rows(), columns.rows());
  residual -= best * columns.transpose();
  std::vector<double> depths;
  Complex second = 0.0;
  for (Eigen::Index n = 0; n < best.rows(); ++n) {
    const Complex z(best(n, 0), best(n, 1));
    if (z == Complex(0.0)) {
      phases.amplitude.push_back(std::nullopt);
      continue;
    }
    phases.amplitude.push_back(z);
    depths.push_back(std::abs(z));
    if (orders == 2) {
      const Complex u = z / std::abs(z);
      second += Complex(best(n, 2), best(n, 3)) * std::conj(u * u);
    }
  }
  if (!depths.empty()) {
    phases.second = second / static_cast<double>(depths.size());
    phases.depth = arithmetic::median(depths);
  }
  const double row_noise = residual.norm() / std::sqrt(static_cast<double>(plane.value.size()));
  phases.noise = row_noise * std::sqrt(0.5 * (inverse(0, 0) + inverse(1, 1)));
  return plane;
}

FramePhases phases_of(const rows::Cells& cells, clips::Plane plane, double bands) {
  FramePhases phases;
  phases.bands = bands;
  phases.left = unexplained_rows(fit(std::move(plane), cells.scale, phases));
  if (cells.strips < 2) return phases;
  const std::size_t half = cells.strips / 2;
  FramePhases left;
  FramePhases right;
  left.bands = right.bands = bands;
  fit(moving_part(cells.part(0, half)), cells.scale, left);
  fit(moving_part(cells.part(half, cells.strips)), cells.scale, right);
  Complex both = 0.0;
  double power = 0.0;
  for (std::size_t n = 0; n < left.amplitude.size(); ++n) {
    const Complex l = left.amplitude[n].value_or(Complex());
    const Complex r = right.amplitude[n].value_or(Complex());
    both += l * std::conj(r);
    power += 0.5 * (std::norm(l) + std::norm(r));
  }
  phases.agreement = power > 0.0 ? std::max(both.real() / power, 0.0) : 0.0;
  return phases;
}

}  // namespace

double FramePhases::phase_sd() const {
  return depth > 0.0 ? noise / (arithmetic::turn * depth) : 1.0;
}

double FramePhases::depth_scatter() const {
  std::vector<double> off;
  for (const auto& z : amplitude) {
    if (z) off.push_back(std::abs(std::abs(*z) - depth));
  }
  return off.empty() ? 1.0 : arithmetic::normal_sd * arithmetic::median(off) / depth;
}

FramePhases frame_phases(const rows::Cells& cells, double bands) {
  return phases_of(cells, moving_part(cells), bands);
}

FramePhases frame_phases(const rows::Cells& cells) {
  clips::Plane plane = moving_part(cells);
  const double bands = best_bands(plane, cells.scale);
  return phases_of(cells, std::move(plane), bands);
}

}  // namespace lampbeat::footage::stretches
