#include "lampbeat/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "arithmetic/lanes.hpp"
#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "signal/spectrum/blackman_harris.hpp"
#include "signal/spectrum/even_cosines.hpp"
#include "signal/spectrum/fft.hpp"
#include "signal/spectrum/gridding.hpp"

namespace lampbeat {
namespace signal::spectrum {

namespace {

/// cos 2a and cos 3a through cos a: the window is evaluated once per sample.
template <typename Number>
Number blackman_harris_of_cosine(const Number& c) {
  constexpr double constant = 0.35875 - 0.14128;
  constexpr double linear = -0.48829 + 3.0 * 0.01168;
  return constant + c * (linear + c * (2.0 * 0.14128 - c * (4.0 * 0.01168)));
}

}  // namespace

double blackman_harris(double x) {
  return blackman_harris_of_cosine(std::cos(arithmetic::turn * x));
}

}  // namespace signal::spectrum

namespace {

/// Beside a gap a sample never counts for more than so many intervals.
constexpr double most_intervals = 2.0;
/// The mean's removal hollows out the first bins, as far as the window's main lobe reaches; they
/// say nothing about the noise.
constexpr std::size_t hollow_bins = 4;
/// The floor follows the noise's colour over a thirty-second of the spectrum, or over so many bins
/// that their median is known to 7 % (a Rayleigh amplitude's is, to 0.72 over the root of the
/// independent ones, about half of them).
constexpr std::size_t fewest_floor_bins = 192;
constexpr std::size_t floor_parts = 32;
/// Neighbouring bins share most of their noise; more than a few hundred add no certainty.
constexpr std::size_t most_floor_bins = 256;
/// A few samples spread over a very long gap must not ask for an unbounded transform.
constexpr double most_points_a_sample = 16.0;

/// The Blackman-Harris window at each sample. Uneven samples also count by how much of the window
/// each speaks for, so that a strong line or the mean leaks little through the unevenness.
std::vector<double> sample_weights(const Window& window) {
  const std::size_t n = window.size();
  std::vector<double> weight(n);
  if (window.even()) {
    using signal::spectrum::blackman_harris_of_cosine;
    signal::spectrum::even_cosines(
        n,
        [&](std::size_t i, const arithmetic::Lanes& cosine) {
          blackman_harris_of_cosine(cosine).copy_to(weight.data() + i,
                                                    std::experimental::element_aligned);
        },
        [&](std::size_t i, double cosine) { weight[i] = blackman_harris_of_cosine(cosine); });
    return weight;
  }
  const double duration = window.duration_s();
  for (std::size_t i = 0; i < n; ++i) {
    const double before = i > 0 ? window.time_s[i - 1] : -window.interval_s;
    const double after = i + 1 < n ? window.time_s[i + 1] : window.time_s[i] + window.interval_s;
    weight[i] =
        std::min((after - before) / (2.0 * window.interval_s), most_intervals) *
        signal::spectrum::blackman_harris((window.time_s[i] + window.interval_s / 2) / duration);
  }
  return weight;
}

/// Median over stretches that overlap by half, joined by straight lines. Where noise alone makes
/// the amplitudes they follow a Rayleigh distribution, whose mean is √(π/2)/√(2 ln 2) medians.
std::vector<double> local_floor(const std::vector<double>& amplitude) {
  const std::size_t n = amplitude.size();
  const double mean_per_median = std::sqrt(std::numbers::pi / (4.0 * std::numbers::ln2));
  const std::size_t hollow = std::min(hollow_bins, n / 4);
  const std::size_t width = std::min(std::max(fewest_floor_bins, n / floor_parts), n - hollow);
  const std::size_t hop = std::max<std::size_t>(1, width / 2);
  const std::size_t stride = std::max<std::size_t>(1, width / most_floor_bins);

  std::vector<double> centre;
  std::vector<double> level;
  std::vector<double> stretch;
  for (std::size_t start = hollow;; start += hop) {
    start = std::min(start, n - width);
    stretch.clear();
    for (std::size_t i = start; i < start + width; i += stride) stretch.push_back(amplitude[i]);
    centre.push_back(static_cast<double>(start) + static_cast<double>(width - 1) / 2.0);
    level.push_back(arithmetic::upper_median(stretch) * mean_per_median);
    if (start + width >= n) break;
  }

  std::vector<double> floor(n);
  std::size_t right = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double at = static_cast<double>(i);
    while (right < centre.size() && centre[right] < at) ++right;
    if (right == 0) {
      floor[i] = level.front();
    } else if (right == centre.size()) {
      floor[i] = level.back();
    } else {
      const double part = (at - centre[right - 1]) / (centre[right] - centre[right - 1]);
      floor[i] = level[right - 1] + part * (level[right] - level[right - 1]);
    }
  }
  return floor;
}

}  // namespace

Spectrum spectrum_of(const Window& window) {
  const std::size_t n = window.size();
  Spectrum spectrum;
  if (n < 2 || !(window.interval_s > 0.0)) return spectrum;

  const double duration = window.duration_s();
  const std::vector<double> weight = sample_weights(window);
  const double total_weight = arithmetic::sum_of(weight);
  const double weighted_sum = arithmetic::sum_of_products(weight, window.value);
  if (!(total_weight > 0.0)) return spectrum;
  // The weighted mean, not the plain one: it is what leaves nothing of a constant at zero.
  const double mean = weighted_sum / total_weight;
  std::vector<double> windowed(n);
  for (std::size_t i = 0; i < n; ++i) windowed[i] = weight[i] * (window.value[i] - mean);

  std::vector<std::complex<double>> transform;
  if (window.even()) {
    const std::size_t size = signal::spectrum::fast_transform_size(n);
    transform = signal::spectrum::forward_transform(windowed, size);
    spectrum.bin_hz = 1.0 / (static_cast<double>(size) * window.interval_s);
  } else {
    const double most = most_points_a_sample * static_cast<double>(n);
    const double wanted = std::round(duration / window.interval_s);
    const bool gaping = wanted > most;
    const std::size_t size = signal::spectrum::fast_transform_size(
        static_cast<std::size_t>(std::max(std::min(wanted, most), 2.0)));
    spectrum.bin_hz =
        gaping ? 1.0 / duration : 1.0 / (static_cast<double>(size) * window.interval_s);
    std::vector<double> turns(n);
    for (std::size_t i = 0; i < n; ++i) turns[i] = window.time_s[i] * spectrum.bin_hz;
    transform = signal::spectrum::gridded_transform(turns, windowed, size / 2);
  }
  spectrum.amplitude.resize(transform.size());
  for (std::size_t k = 0; k < transform.size(); ++k) {
    spectrum.amplitude[k] = 2.0 * std::sqrt(std::norm(transform[k])) / total_weight;
  }
  spectrum.floor = local_floor(spectrum.amplitude);
  return spectrum;
}

}  // namespace lampbeat
