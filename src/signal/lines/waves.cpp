#include "signal/lines/waves.hpp"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>

namespace lampbeat::signal::lines {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// Long enough for matrix products to pay, short enough that the waves of 64 lines stay in the
/// cache.
constexpr std::size_t block_samples = 256;
/// Rotation errs by a rounding (1e-16) a step at most: sixteen leave fourteen digits.
constexpr std::size_t exact_every = 16;

/// Cosine and sine of `step` · (j − centre of the block) for one block, by rotation from exact
/// values every sixteen samples: short enough that rounding never builds up.
void fill_wave(double step, Eigen::Ref<VectorXd> cosine, Eigen::Ref<VectorXd> sine) {
  const double middle = static_cast<double>(block_samples - 1) / 2.0;
  const double turn_c = std::cos(step);
  const double turn_s = std::sin(step);
  for (std::size_t j = 0; j < block_samples; ++j) {
    const auto at = static_cast<Index>(j);
    if (j % exact_every == 0) {
      const double angle = step * (static_cast<double>(j) - middle);
      cosine(at) = std::cos(angle);
      sine(at) = std::sin(angle);
    } else {
      cosine(at) = cosine(at - 1) * turn_c - sine(at - 1) * turn_s;
      sine(at) = sine(at - 1) * turn_c + cosine(at - 1) * turn_s;
    }
  }
}

}  // namespace

std::vector<double> waves(std::size_t samples, std::span<const double> v, double level,
                          double slope, std::span<const double> cosine,
                          std::span<const double> sine) {
  const auto rows = static_cast<Index>(block_samples);
  const auto blocks = static_cast<Index>((samples + block_samples - 1) / block_samples);
  const auto waves = static_cast<Index>(v.size());
  const double half = static_cast<double>(samples) / 2.0;
  const double middle = static_cast<double>(block_samples - 1) / 2.0;
  const double centre = static_cast<double>(samples - 1) / 2.0;

  MatrixXd table(rows, 2 * waves + 2);
  MatrixXd weight(2 * waves + 2, blocks);
  table.col(2 * waves).setOnes();
  table.col(2 * waves + 1) = VectorXd::LinSpaced(rows, -middle, middle) / half;
  for (Index b = 0; b < blocks; ++b) {
    const double block_centre =
        (static_cast<double>(b) * static_cast<double>(block_samples) + middle - centre) / half;
    for (Index k = 0; k < waves; ++k) {
      const auto at = static_cast<std::size_t>(k);
      const double angle = v[at] * block_centre;
      const double c = std::cos(angle);
      const double s = std::sin(angle);
      weight(2 * k, b) = cosine[at] * c + sine[at] * s;
      weight(2 * k + 1, b) = sine[at] * c - cosine[at] * s;
    }
    weight(2 * waves, b) = level + slope * block_centre;
    weight(2 * waves + 1, b) = slope;
  }
  for (Index k = 0; k < waves; ++k) {
    fill_wave(v[static_cast<std::size_t>(k)] / half, table.col(2 * k), table.col(2 * k + 1));
  }
  std::vector<double> sum(static_cast<std::size_t>(rows * blocks));
  Eigen::Map<MatrixXd>(sum.data(), rows, blocks).noalias() = table * weight;
  sum.resize(samples);
  return sum;
}

}  // namespace lampbeat::signal::lines
