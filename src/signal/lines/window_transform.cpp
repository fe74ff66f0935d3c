#include "signal/lines/window_transform.hpp"

#include <cmath>
#include <numbers>

#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"
#include "signal/lines/window_sums.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::signal::lines {
namespace {

/// Lines of the grid to each side, and how much finer the grid is than the window's own at least:
/// what is left out and what folds in is exp(−14 π (1 − 1/3)), 2e-13.
constexpr long long lines_beside = 14;
constexpr double finer = 1.5;
/// Rotation and growth err by a rounding (1e-16) a step at most: sixteen leave fourteen digits.
constexpr std::size_t grown_exactly_every = 16;

/// Sizes of one or three times a power of two: all windows of a capture share a plan or two.
std::size_t grid_for(std::size_t samples) {
  const double least = finer * static_cast<double>(samples);
  std::size_t size = 4;
  while (static_cast<double>(size) < least) size *= 2;
  const std::size_t between = size / 4 * 3;
  return static_cast<double>(between) < least ? size : between;
}

/// Each value less `mean`, grown by exp(τ n²), n counted from the window's centre: what the
/// Gaussian on the grid takes back.
void grow(std::span<const double> value, double mean, double tau, double* grown) {
  const std::size_t n = value.size();
  const double centre = static_cast<double>(n - 1) / 2.0;
  const double quickens = std::exp(2.0 * tau);
  double factor = 0.0;
  double growth = 0.0;
  for (std::size_t i = 0; 2 * i < n; ++i) {  // outwards in, both sides at once
    const double from_centre = static_cast<double>(i) - centre;
    if (i % grown_exactly_every == 0) {
      factor = std::exp(tau * from_centre * from_centre);
      growth = std::exp(tau * (2.0 * from_centre + 1.0));
    }
    grown[i] = factor * (value[i] - mean);
    grown[n - 1 - i] = factor * (value[n - 1 - i] - mean);
    factor *= growth;
    growth *= quickens;
  }
}

}  // namespace

WindowTransform::WindowTransform(const Window& window)
    : samples_(window.size()),
      grid_(grid_for(window.size())),
      half_(static_cast<double>(window.size()) / 2.0) {
  const auto n = static_cast<double>(samples_);
  const double ratio = static_cast<double>(grid_) / n;
  // Greengard & Lee eq. (9): the Gaussian's width that balances truncation and folding.
  width_ = std::numbers::pi * static_cast<double>(lines_beside) / (n * n * ratio * (ratio - 0.5));
  // The level, which would drown the rest in its rounding, is added back in closed form.
  mean_ = arithmetic::sum_of(window.value) / n;
  double clocked = 0.0;
  for (std::size_t i = 0; i < samples_; ++i) clocked += static_cast<double>(i) * window.value[i];
  const double centre = (n - 1.0) / 2.0;
  clocked_sum_ = (clocked - centre * mean_ * n) / half_;
  line_.resize(grid_ / 2 + 1);
  grow(window.value, mean_, width_, spectrum::reals_of(line_).data());
  spectrum::transform_in_place(line_, grid_);
}

std::complex<double> WindowTransform::line(long long at) const {
  const auto size = static_cast<long long>(grid_);
  const auto folded = static_cast<std::size_t>(((at % size) + size) % size);
  return folded < line_.size() ? line_[folded] : std::conj(line_[grid_ - folded]);
}

/// The transform counts from the first sample, the clock from the window's centre, which may lie
/// between two: whole numbers tell the angle exactly, however far it turns.
std::complex<double> WindowTransform::turned_to_centre(long long line) const {
  const auto halves = 2 * static_cast<long long>(grid_);
  const long long turned = line * (static_cast<long long>(samples_) - 1) % halves;
  return std::polar(1.0,
                    arithmetic::turn * static_cast<double>(turned) / static_cast<double>(halves));
}

Projections WindowTransform::project(std::span<const double> v) const {
  const double step = arithmetic::turn / static_cast<double>(grid_);
  const double scale = std::sqrt(std::numbers::pi / width_) / static_cast<double>(grid_);
  const std::complex<double> turned_by_a_line = turned_to_centre(1);
  Projections result;
  result.sum = mean_ * static_cast<double>(samples_);
  result.clocked_sum = clocked_sum_;
  for (const double rate : v) {
    const double rate_a_sample = rate / half_;
    const auto nearest = std::llround(rate_a_sample / step);
    std::complex<double> to_centre = turned_to_centre(nearest - lines_beside);
    std::complex<double> plain = 0.0;
    std::complex<double> sloped = 0.0;
    for (long long l = nearest - lines_beside; l <= nearest + lines_beside; ++l) {
      const double off = rate_a_sample - step * static_cast<double>(l);
      const std::complex<double> part =
          std::exp(-off * off / (4.0 * width_)) * (to_centre * line(l));
      plain += part;
      sloped += off * part;
      to_centre *= turned_by_a_line;
    }
    const WindowSums level = window_sums(samples_, rate);
    result.plain.push_back(scale * plain + mean_ * level.cosine);
    // n exp(−iwn) is i times the wave's derivative by w.
    result.clocked.push_back(std::complex<double>(0.0, -1.0) *
                             (scale / (2.0 * width_ * half_) * sloped + mean_ * level.clock_sine));
  }
  return result;
}

}  // namespace lampbeat::signal::lines
