#include "signal/lines/projection.hpp"

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

FitClock::FitClock(const Window& window) {
  const double last_s = window.size() > 0 ? window.time_at(window.size() - 1) : 0.0;
  centre_s = last_s / 2.0;
  half_s = (last_s + window.interval_s) / 2.0;
}

BlockedWindow::BlockedWindow(const Window& window)
    : samples_(window.size()),
      blocks_((window.size() + block_samples - 1) / block_samples),
      half_(static_cast<double>(window.size()) / 2.0),
      value_(blocks_ * block_samples, 0.0) {
  std::copy(window.value.begin(), window.value.end(), value_.begin());
  const double centre = static_cast<double>(samples_ - 1) / 2.0;
  for (std::size_t i = 0; i < samples_; ++i) {
    sum_ += value_[i];
    clocked_sum_ += value_[i] * ((static_cast<double>(i) - centre) / half_);
  }
}

Projections BlockedWindow::project(std::span<const double> v) const {
  const auto rows = static_cast<Index>(block_samples);
  const auto blocks = static_cast<Index>(blocks_);
  const auto waves = static_cast<Index>(v.size());
  const double middle = static_cast<double>(block_samples - 1) / 2.0;
  const double centre = static_cast<double>(samples_ - 1) / 2.0;

  MatrixXd table(rows, 4 * waves);
  const VectorXd place = VectorXd::LinSpaced(rows, -middle, middle) / half_;
  for (Index k = 0; k < waves; ++k) {
    fill_wave(v[static_cast<std::size_t>(k)] / half_, table.col(4 * k), table.col(4 * k + 1));
    table.col(4 * k + 2) = table.col(4 * k).cwiseProduct(place);
    table.col(4 * k + 3) = table.col(4 * k + 1).cwiseProduct(place);
  }
  const Eigen::Map<const MatrixXd> value(value_.data(), rows, blocks);
  const MatrixXd part = table.transpose() * value;

  Projections result;
  result.sum = sum_;
  result.clocked_sum = clocked_sum_;
  result.plain.resize(v.size());
  result.clocked.resize(v.size());
  for (Index k = 0; k < waves; ++k) {
    std::complex<double> plain = 0.0;
    std::complex<double> clocked = 0.0;
    for (Index b = 0; b < blocks; ++b) {
      const double block_centre =
          (static_cast<double>(b) * static_cast<double>(block_samples) + middle - centre) / half_;
      const double angle = v[static_cast<std::size_t>(k)] * block_centre;
      const std::complex<double> turn(std::cos(angle), -std::sin(angle));
      const std::complex<double> here(part(4 * k, b), -part(4 * k + 1, b));
      const std::complex<double> here_clocked(part(4 * k + 2, b), -part(4 * k + 3, b));
      plain += turn * here;
      clocked += turn * (block_centre * here + here_clocked);
    }
    result.plain[static_cast<std::size_t>(k)] = plain;
    result.clocked[static_cast<std::size_t>(k)] = clocked;
  }
  return result;
}

std::vector<double> BlockedWindow::waves(std::span<const double> v, double level, double slope,
                                         std::span<const double> cosine,
                                         std::span<const double> sine) const {
  const auto rows = static_cast<Index>(block_samples);
  const auto blocks = static_cast<Index>(blocks_);
  const auto waves = static_cast<Index>(v.size());
  const double middle = static_cast<double>(block_samples - 1) / 2.0;
  const double centre = static_cast<double>(samples_ - 1) / 2.0;

  MatrixXd table(rows, 2 * waves + 2);
  MatrixXd weight(2 * waves + 2, blocks);
  table.col(2 * waves).setOnes();
  table.col(2 * waves + 1) = VectorXd::LinSpaced(rows, -middle, middle) / half_;
  for (Index b = 0; b < blocks; ++b) {
    const double block_centre =
        (static_cast<double>(b) * static_cast<double>(block_samples) + middle - centre) / half_;
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
    fill_wave(v[static_cast<std::size_t>(k)] / half_, table.col(2 * k), table.col(2 * k + 1));
  }
  std::vector<double> sum(value_.size());
  Eigen::Map<MatrixXd>(sum.data(), rows, blocks).noalias() = table * weight;
  sum.resize(samples_);
  return sum;
}

}  // namespace lampbeat::signal::lines
