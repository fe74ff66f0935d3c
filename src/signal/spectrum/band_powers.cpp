#include "signal/spectrum/band_powers.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include "arithmetic/lanes.hpp"
#include "lampbeat/spectrum.hpp"
#include "signal/spectrum/blackman_harris.hpp"
#include "signal/spectrum/even_cosines.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::signal::spectrum {
namespace {

namespace simd = std::experimental;
using arithmetic::Lanes;
using arithmetic::lanes;
using arithmetic::lanes_at;

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

using Record = std::vector<std::complex<double>>;

/// A straight line about the middle sample.
struct Line {
  double mean = 0.0;
  double slope = 0.0;  ///< a sample
  double middle = 0.0;
  double at(double i) const { return mean + slope * (i - middle); }
};

Line least_squares_line(std::span<const double> value) {
  const auto n = static_cast<double>(value.size());
  const double middle = (n - 1.0) / 2.0;
  constexpr std::size_t turn = 2 * lanes;
  Lanes sum = 0.0, other_sum = 0.0, moment = 0.0, other_moment = 0.0;
  Lanes place([&](auto k) { return static_cast<double>(k) - middle; });
  const Lanes half_turn = static_cast<double>(lanes), whole_turn = static_cast<double>(turn);
  std::size_t i = 0;
  for (; i + turn <= value.size(); i += turn) {
    const Lanes a = lanes_at(value.data() + i);
    const Lanes b = lanes_at(value.data() + i + lanes);
    sum += a;
    other_sum += b;
    moment += a * place;
    other_moment += b * (place + half_turn);
    place += whole_turn;
  }
  double all = simd::reduce(sum + other_sum);
  double all_moment = simd::reduce(moment + other_moment);
  for (; i < value.size(); ++i) {
    all += value[i];
    all_moment += value[i] * (static_cast<double>(i) - middle);
  }
  return {all / n, 12.0 * all_moment / (n * (n * n - 1.0)), middle};
}

/// The samples less their least-squares straight line, under the Hann window.
void level_and_taper(std::span<const double> value, std::span<double> x) {
  const Line line = least_squares_line(value);
  const Lanes half = 0.5, mean = line.mean, slope = line.slope, middle = line.middle;
  even_cosines(
      value.size(),
      [&](std::size_t i, const Lanes& cosine) {
        const double first = static_cast<double>(i);
        const Lanes place([&](auto k) { return first + static_cast<double>(k); });
        const Lanes levelled = lanes_at(value.data() + i) - (mean + slope * (place - middle));
        (levelled * (half - half * cosine)).copy_to(x.data() + i, simd::element_aligned);
      },
      [&](std::size_t i, double cosine) {
        x[i] = (value[i] - line.at(static_cast<double>(i))) * (0.5 - 0.5 * cosine);
      });
}

/// In the memory of the record that it is transformed in.
std::span<const double> even_periodogram(const Window& window, Record& record) {
  const std::size_t n = window.size();
  record.resize(n / 2 + 1);
  const std::span<double> reals = reals_of(record);
  level_and_taper(window.value, reals.first(n));
  transform_in_place(record, n);
  const double power = 3.0 / 8.0 * static_cast<double>(n);  // of the Hann window
  const double scale = 2.0 * window.interval_s / power;
  for (std::size_t k = 0; k < record.size(); ++k) {
    reals[k] = scale * (reals[2 * k] * reals[2 * k] + reals[2 * k + 1] * reals[2 * k + 1]);
  }
  return reals.first(record.size());
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
    count(even_periodogram(part, record_), 1.0 / (static_cast<double>(n) * window.interval_s),
          from_hz, to_hz, gaps);
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

void BandPowers::count(std::span<const double> density, double bin_hz, double from_hz, double to_hz,
                       std::span<const Gap> gaps) {
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
      sum.density += arithmetic::sum_of(density.subspan(k, clear - k));
      k = after;
    }
  }
}

void BandPowers::clear() {
  sums_.clear();
  from_hz_.reset();
  to_hz_ = 0.0;
}

void BandPowers::add(const BandPowers& more) {
  if (!more.from_hz_) return;
  from_hz_ = std::min(from_hz_.value_or(*more.from_hz_), *more.from_hz_);
  to_hz_ = std::max(to_hz_, more.to_hz_);
  if (sums_.size() < more.sums_.size()) sums_.resize(more.sums_.size());
  for (std::size_t b = 0; b < more.sums_.size(); ++b) {
    sums_[b].density += more.sums_[b].density;
    sums_[b].bins += more.sums_[b].bins;
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
