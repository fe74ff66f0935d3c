#include "signal/spectrum/band_powers.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include "arithmetic/phase.hpp"
#include "lampbeat/spectrum.hpp"
#include "signal/spectrum/blackman_harris.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::signal::spectrum {
namespace {

/// Bands of a sixth of an octave, 12 % wide: 1/f noise changes by half a decibel over one.
constexpr double bands_an_octave = 6.0;
/// Slower than a capture of a quarter of an hour has cycles for.
constexpr double slowest_hz = 1e-3;
/// Equivalent noise bandwidth in bins (Harris, Proc. IEEE 66(1), 1978, table I): neighbouring bins
/// share that much of their noise.
constexpr double hann_noise_bins = 1.5;

double border_hz(std::size_t band) {
  return slowest_hz * std::exp2(static_cast<double>(band) / bands_an_octave);
}

std::size_t band_at(double hz) {
  return static_cast<std::size_t>(
      std::max(0.0, std::floor(bands_an_octave * std::log2(hz / slowest_hz))));
}

/// The samples less their least-squares straight line, under the Hann window; and the window's
/// power.
double level_and_taper(const Window& window, std::vector<double>& x) {
  const std::size_t n = x.size();
  const double middle = static_cast<double>(n - 1) / 2.0;
  double sum = 0.0;
  double moment = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    x[i] = window.value[i];
    sum += x[i];
    moment += x[i] * (static_cast<double>(i) - middle);
  }
  const auto count = static_cast<double>(n);
  const double slope = 12.0 * moment / (count * (count * count - 1.0));
  const double mean = sum / count;
  // cos of evenly spaced angles by Chebyshev's recurrence, restarted before its rounding errors,
  // which grow with the square of the steps, reach the ninth digit.
  const double step = arithmetic::turn / count;
  const double twice = 2.0 * std::cos(step);
  constexpr std::size_t stretch = 1024;
  double power = 0.0;
  for (std::size_t start = 0; start < n; start += stretch) {
    double now = std::cos(step * (static_cast<double>(start) + 0.5));
    double before = std::cos(step * (static_cast<double>(start) - 0.5));
    for (std::size_t i = start; i < std::min(n, start + stretch); ++i) {
      const double weight = 0.5 - 0.5 * now;
      x[i] = (x[i] - mean - slope * (static_cast<double>(i) - middle)) * weight;
      power += weight * weight;
      const double next = twice * now - before;
      before = now;
      now = next;
    }
  }
  return power;
}

std::vector<double> even_periodogram(const Window& window) {
  std::vector<double> x(window.size());
  const double power = level_and_taper(window, x);
  const auto lines = forward_transform(x, x.size());
  std::vector<double> density(lines.size());
  const double scale = 2.0 * window.interval_s / power;
  for (std::size_t k = 0; k < lines.size(); ++k) density[k] = scale * std::norm(lines[k]);
  return density;
}

/// The largest even length of small factors, if it leaves out no more than a fiftieth: long prime
/// lengths transform slowly.
std::size_t quick_length(std::size_t n) {
  for (std::size_t size = n - n % 2; size + n / 50 >= n && size > 2; size -= 2) {
    if (fast_transform_size(size) == size) return size;
  }
  return n;
}

}  // namespace

void BandPowers::add(const Window& window, double from_hz, double to_hz,
                     std::span<const Gap> gaps) {
  constexpr std::size_t fewest_samples = 16;
  if (window.size() < fewest_samples || !(window.interval_s > 0.0)) return;
  if (window.even()) {
    const std::size_t n = quick_length(window.size());
    const Window part{window.value.first(n), {}, window.interval_s};
    count(even_periodogram(part), 1.0 / (static_cast<double>(n) * window.interval_s), from_hz,
          to_hz, gaps);
    return;
  }
  const Spectrum spectrum = spectrum_of(window);
  std::vector<double> density(spectrum.amplitude.size());
  for (std::size_t k = 0; k < density.size(); ++k) {
    density[k] = spectrum.amplitude[k] * spectrum.amplitude[k] /
                 (2.0 * blackman_harris_noise_bins * spectrum.bin_hz);
  }
  count(density, spectrum.bin_hz, from_hz, to_hz, gaps);
}

void BandPowers::count(const std::vector<double>& density, double bin_hz, double from_hz,
                       double to_hz, std::span<const Gap> gaps) {
  const auto first = static_cast<std::size_t>(std::ceil(from_hz / bin_hz));
  const auto end = std::min(density.size() > 1 ? density.size() - 1 : 0,
                            static_cast<std::size_t>(std::max(0.0, to_hz / bin_hz)));
  if (first >= end) return;
  const double lowest_hz = static_cast<double>(first) * bin_hz;
  from_hz_ = std::min(from_hz_.value_or(lowest_hz), lowest_hz);
  to_hz_ = std::max(to_hz_, static_cast<double>(end) * bin_hz);
  auto gap = gaps.begin();
  std::size_t k = std::max<std::size_t>(first, 1);
  for (std::size_t band = band_at(static_cast<double>(k) * bin_hz); k < end; ++band) {
    const double border = border_hz(band + 1) / bin_hz;
    const auto stop = std::min(end, static_cast<std::size_t>(std::ceil(border)));
    if (band >= sums_.size()) sums_.resize(band + 1);
    Sum& sum = sums_[band];
    while (k < stop) {
      while (gap != gaps.end() && gap->to_hz < static_cast<double>(k) * bin_hz) ++gap;
      std::size_t clear = stop;
      std::size_t after = stop;
      if (gap != gaps.end()) {
        clear = std::clamp(
            static_cast<std::size_t>(std::ceil(std::max(gap->from_hz, 0.0) / bin_hz)), k, stop);
        after = std::clamp(static_cast<std::size_t>(gap->to_hz / bin_hz) + 1, clear, stop);
      }
      sum.bins += static_cast<double>(clear - k);
      for (; k < clear; ++k) sum.density += density[k];
      k = after;
    }
  }
}

std::vector<Band> BandPowers::bands() const {
  std::vector<Band> result;
  for (std::size_t b = 0; b < sums_.size(); ++b) {
    if (!(sums_[b].bins > 0.0)) continue;
    result.push_back({std::max(border_hz(b), from_hz_.value_or(0.0)),
                      std::min(border_hz(b + 1), to_hz_), sums_[b].density / sums_[b].bins,
                      std::max(1.0, sums_[b].bins / hann_noise_bins)});
  }
  return result;
}

}  // namespace lampbeat::signal::spectrum
