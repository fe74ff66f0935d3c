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
constexpr Index exact_every = 16;

/// Cosine and sine of `step` · (j − middle) for every j, by rotation from exact values every
/// sixteen entries: short enough that rounding never builds up.
void fill_wave(double step, double middle, Eigen::Ref<VectorXd> cosine, Eigen::Ref<VectorXd> sine) {
  const double turn_c = std::cos(step);
  const double turn_s = std::sin(step);
  for (Index j = 0; j < cosine.size(); ++j) {
    if (j % exact_every == 0) {
      const double angle = step * (static_cast<double>(j) - middle);
      cosine(j) = std::cos(angle);
      sine(j) = std::sin(angle);
    } else {
      cosine(j) = cosine(j - 1) * turn_c - sine(j - 1) * turn_s;
      sine(j) = sine(j - 1) * turn_c + cosine(j - 1) * turn_s;
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
  MatrixXd weight(blocks, 2 * waves + 2);
  VectorXd block_c(blocks), block_s(blocks);
  for (Index k = 0; k < waves; ++k) {
    const auto at = static_cast<std::size_t>(k);
    const double step = v[at] / half;
    fill_wave(step, middle, table.col(2 * k), table.col(2 * k + 1));
    const auto block_step = static_cast<double>(block_samples);
    fill_wave(step * block_step, (centre - middle) / block_step, block_c, block_s);
    weight.col(2 * k) = cosine[at] * block_c + sine[at] * block_s;
    weight.col(2 * k + 1) = sine[at] * block_c - cosine[at] * block_s;
  }
  table.col(2 * waves).setOnes();
  table.col(2 * waves + 1) = VectorXd::LinSpaced(rows, -middle, middle) / half;
  for (Index b = 0; b < blocks; ++b) {
    const double from_centre =
        static_cast<double>(b) * static_cast<double>(block_samples) + middle - centre;
    weight(b, 2 * waves) = level + slope * from_centre / half;
  }
  weight.col(2 * waves + 1).setConstant(slope);
  std::vector<double> sum(static_cast<std::size_t>(rows * blocks));
  Eigen::Map<MatrixXd>(sum.data(), rows, blocks).noalias() = table * weight.transpose();
  sum.resize(samples);
  return sum;
}

}  // namespace lampbeat::signal::lines
