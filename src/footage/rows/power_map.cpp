#include "footage/rows/power_map.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <complex>
#include <cstdint>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::footage::rows {

namespace {

// The median of exponentially distributed power, over its mean.
const double median_of_noise = std::log(2.0);

// In padded bins of half a cycle: what belongs to the peak itself (two cycles, its main lobe and
// the first beside it), and how far "around it" reaches.
constexpr std::ptrdiff_t own = 4;
constexpr std::ptrdiff_t around = 20;
// Of the peaks, strongest first, whose surroundings are looked at.
constexpr std::size_t most_candidates = 8;
// Zeros to each sample: bins half a cycle apart, so that no peak falls between two.
constexpr std::size_t padding = 2;

/// The value that `rank` others are no greater than; none is negative. In place: the bits of such
/// floats have their order, and are counted half by half.
double nth_smallest(const std::vector<float>& values, std::size_t rank) {
  constexpr unsigned half_bits = 16;
  constexpr std::uint32_t halves = std::uint32_t{1} << half_bits;
  std::vector<std::uint32_t> count(halves);
  const auto half_at_rank = [&] {
    std::uint32_t half = 0;
    for (; rank >= count[half]; ++half) rank -= count[half];
    return half;
  };
  for (const float value : values) ++count[std::bit_cast<std::uint32_t>(value) >> half_bits];
  const std::uint32_t upper = half_at_rank();
  std::fill(count.begin(), count.end(), 0U);
  for (const float value : values) {
    const auto bits = std::bit_cast<std::uint32_t>(value);
    if (bits >> half_bits == upper) ++count[bits % halves];
  }
  return static_cast<double>(std::bit_cast<float>(upper << half_bits | half_at_rank()));
}

}  // namespace

PowerMap::PowerMap(const clips::Plane& plane, const clips::RowScale& scale) {
  samples_ = static_cast<double>(plane.frames * plane.rows);
  rows_ = static_cast<double>(plane.rows);
  height_ = static_cast<double>(plane.rows) * scale.averaged / scale.picture_rows;
  size_ = signal::spectrum::fast_transform_size(padding * plane.frames);
  bins_ = signal::spectrum::fast_transform_size(padding * plane.rows);
  lines_ = size_ / 2 + 1;

  // Through time at each row, then down the rows at each roll, in place: padded, a line of the map
  // is as long as the complex numbers of its rows.
  static_assert(padding >= 2);
  power_.resize(lines_ * bins_);
  std::vector<double> series(plane.frames);
  for (std::size_t r = 0; r < plane.rows; ++r) {
    for (std::size_t n = 0; n < plane.frames; ++n) series[n] = plane.at(n, r);
    const auto line = signal::spectrum::forward_transform(series, size_);
    for (std::size_t i = 0; i < lines_; ++i) {
      power_[i * bins_ + 2 * r] = static_cast<Power>(line[i].real());
      power_[i * bins_ + 2 * r + 1] = static_cast<Power>(line[i].imag());
    }
  }
  std::vector<double> real(plane.rows);
  std::vector<double> imaginary(plane.rows);
  constexpr std::complex<double> i_unit(0.0, 1.0);
  for (std::size_t i = 0; i < lines_; ++i) {
    for (std::size_t r = 0; r < plane.rows; ++r) {
      real[r] = static_cast<double>(power_[i * bins_ + 2 * r]);
      imaginary[r] = static_cast<double>(power_[i * bins_ + 2 * r + 1]);
    }
    const auto a = signal::spectrum::forward_transform(real, bins_);
    const auto b = signal::spectrum::forward_transform(imaginary, bins_);
    for (std::size_t j = 0; j < a.size(); ++j) {
      power_[i * bins_ + j] = static_cast<Power>(std::norm(a[j] + i_unit * b[j]));
      if (j > 0) {
        power_[i * bins_ + bins_ - j] =
            static_cast<Power>(std::norm(std::conj(a[j]) + i_unit * std::conj(b[j])));
      }
    }
  }
}

double PowerMap::floor_at(std::size_t i, std::size_t j) const {
  std::vector<double> near;
  near.reserve(static_cast<std::size_t>((2 * around + 1) * (2 * around + 1)));
  const auto bins = static_cast<std::ptrdiff_t>(bins_);
  for (std::ptrdiff_t di = -around; di <= around; ++di) {
    const std::ptrdiff_t line = static_cast<std::ptrdiff_t>(i) + di;
    if (line < 0 || line >= static_cast<std::ptrdiff_t>(lines_)) continue;
    for (std::ptrdiff_t dj = -around; dj <= around; ++dj) {
      if (std::abs(di) <= own && std::abs(dj) <= own) continue;
      const std::ptrdiff_t column = ((static_cast<std::ptrdiff_t>(j) + dj) % bins + bins) % bins;
      // The plane has no mean over rows or frames, so the map is empty there.
      if (std::min(column, bins - column) < 2 || line < 2) continue;
      near.push_back(power(static_cast<std::size_t>(line), static_cast<std::size_t>(column)));
    }
  }
  return near.empty() ? 0.0 : std::max(arithmetic::median(near), 1e-30);
}

bool PowerMap::is_peak(std::size_t i, std::size_t j) const {
  const double p = power(i, j);
  return p > 0.0 && p >= power(i, (j + 1) % bins_) && p >= power(i, (j + bins_ - 1) % bins_) &&
         (i == 0 || p >= power(i - 1, j)) && (i + 1 == lines_ || p >= power(i + 1, j));
}

std::optional<PowerMap::Peak> PowerMap::strongest(double above_floor) const {
  // Strong candidates first, so that a wave comes before its harmonics; the noise around decides.
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < lines_; ++i) {
    for (std::size_t j = 0; j < bins_; ++j) {
      if (is_peak(i, j)) order.push_back(i * bins_ + j);
    }
  }
  const std::size_t candidates = std::min(order.size(), most_candidates);
  std::partial_sort(order.begin(), order.begin() + static_cast<std::ptrdiff_t>(candidates),
                    order.end(),
                    [&](std::size_t a, std::size_t b) { return power_[a] > power_[b]; });
  for (std::size_t c = 0; c < candidates; ++c) {
    const std::size_t i = order[c] / bins_;
    const std::size_t j = order[c] % bins_;
    const double floor = floor_at(i, j);
    if (floor <= 0.0 || power(i, j) < above_floor * floor) continue;
    // The transform's sign is exp(−i…): a wave of positive roll and bands shows at (roll, bands).
    const double column = static_cast<double>(j) - (2 * j > bins_ ? static_cast<double>(bins_) : 0);
    return Peak{static_cast<double>(i) / static_cast<double>(size_),
                column / static_cast<double>(bins_) * rows_ / height_};
  }
  return std::nullopt;
}

double PowerMap::noise_variance(double roll, double bands) const {
  if (bands < 0.0) return noise_variance(-roll, -bands);
  const double folded = arithmetic::wrapped_turns(roll);
  const double i = std::abs(folded) * static_cast<double>(size_);
  double column = bands * height_ / rows_ * static_cast<double>(bins_);
  if (folded < 0.0) column = -column;
  const auto bins = static_cast<double>(bins_);
  column -= bins * std::floor(column / bins);
  const auto line = std::min(static_cast<std::size_t>(std::lround(i)), lines_ - 1);
  const auto j = static_cast<std::size_t>(std::lround(column)) % bins_;
  return floor_at(line, j) / median_of_noise / samples_;
}

double PowerMap::amplitude_at(double above_floor) const {
  const std::size_t middle = power_.size() / 2;
  const double upper = nth_smallest(power_, middle);
  const double lower = power_.size() % 2 == 1 ? upper : nth_smallest(power_, middle - 1);
  return 2.0 * std::sqrt(above_floor * 0.5 * (lower + upper)) / samples_;
}

}  // namespace lampbeat::footage::rows
