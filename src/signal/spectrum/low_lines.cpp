#include "signal/spectrum/low_lines.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::signal::spectrum {
namespace {

constexpr double reach_points = 3.0;  ///< of the window, in points of the circle to each side
/// Values of the window kept in all: it then misses a point's place by a sixteen-thousandth of its
/// own width.
constexpr std::size_t table_size = 8192;
constexpr std::size_t fewest_places = 16;  ///< between two samples

/// Shape parameter of the Kaiser-Bessel window for a circle of twice the points needed: Beatty,
/// Nishimura & Pauly, IEEE Trans. Medical Imaging 24(6), 2005, eq. (5), width 6, factor 2.
const double beta = std::numbers::pi * std::sqrt(2.25 * 9.0 - 0.8);

double bessel_i0(double x) {
  double term = 1.0;
  double sum = 1.0;
  for (int k = 1; term > 1e-17 * sum; ++k) {
    term *= x * x / (4.0 * k * k);
    sum += term;
  }
  return sum;
}

/// The window over the square of its place, 0 in the middle, 1 at the edge.
double kaiser_bessel(double square) {
  constexpr std::size_t steps = 1024;
  static const std::array<double, steps + 2> table = [] {
    std::array<double, steps + 2> t{};
    for (std::size_t i = 0; i <= steps; ++i) {
      t[i] = bessel_i0(beta * std::sqrt(1.0 - static_cast<double>(i) / steps));
    }
    return t;
  }();
  if (!(square < 1.0)) return 0.0;
  const double at = square * steps;
  const auto i = static_cast<std::size_t>(at);
  return table[i] + (at - static_cast<double>(i)) * (table[i + 1] - table[i]);
}

/// Its Fourier transform at `turns` over half its width.
double kaiser_bessel_transform(double turns) {
  const double z = arithmetic::turn * turns;
  const double root = std::sqrt(beta * beta - z * z);
  return 2.0 * std::sinh(root) / root;
}

double product(const double* a, const double* b, std::size_t n) {
  std::array<double, 4> sum{};
  std::size_t i = 0;
  for (; i + 4 <= n; i += 4) {
    for (std::size_t k = 0; k < 4; ++k) sum[k] += a[i + k] * b[i + k];
  }
  for (; i < n; ++i) sum[0] += a[i] * b[i];
  return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

/// Points on the circle: twice what the lines need, in both signs of frequency.
std::size_t circle_points(std::size_t highest) { return std::bit_ceil(4 * (highest + 1)); }

}  // namespace

bool few_lines(std::size_t samples, std::size_t highest) {
  constexpr std::size_t samples_a_point = 8;  // fewer, and gathering costs what it saves
  constexpr std::size_t long_record = 32768;  // a shorter one transforms in less than a millisecond
  return samples >= std::max(long_record, samples_a_point * circle_points(highest));
}

std::vector<std::complex<double>> low_lines(std::span<const double> value, std::size_t highest) {
  const std::size_t points = circle_points(highest);
  const std::size_t samples = value.size();
  const double spacing = static_cast<double>(samples) / static_cast<double>(points);
  const double half_width = reach_points * spacing;
  const auto reach = static_cast<std::size_t>(half_width) + 1;
  const std::size_t taps = 2 * reach + 1;

  // The window as seen by a point that lies i/places of a sample after a sample; a point is taken
  // to lie at the nearest of these. The slower the lines beside the sampling, the fewer will do.
  const std::size_t places = std::max(fewest_places, table_size / taps);
  std::vector<double> window((places + 1) * taps);
  for (std::size_t i = 0; i <= places; ++i) {
    const double off =
        static_cast<double>(i) / static_cast<double>(places) + static_cast<double>(reach);
    for (std::size_t j = 0; j < taps; ++j) {
      const double place = (static_cast<double>(j) - off) / half_width;
      window[i * taps + j] = kaiser_bessel(place * place);
    }
  }

  std::vector<double> circle(points);
  std::vector<double> joined(taps);  // around the place where the circle is closed
  for (std::size_t m = 0; m < points; ++m) {
    const double centre = static_cast<double>(m) * spacing;
    const auto before = static_cast<std::size_t>(centre);
    const auto place = static_cast<std::size_t>(
        std::lround((centre - static_cast<double>(before)) * static_cast<double>(places)));
    const double* seen = joined.data();
    if (before >= reach && before + reach < samples) {
      seen = value.data() + (before - reach);
    } else {
      for (std::size_t j = 0; j < taps; ++j) {
        joined[j] = value[(before + samples + j - reach) % samples];
      }
    }
    circle[m] = product(window.data() + place * taps, seen, taps);
  }

  std::vector<std::complex<double>> lines = forward_transform(circle, points);
  lines.resize(highest + 1);
  for (std::size_t k = 0; k <= highest; ++k) {
    const double turns = static_cast<double>(k) * half_width / static_cast<double>(samples);
    lines[k] *= spacing / (half_width * kaiser_bessel_transform(turns));
  }
  return lines;
}

}  // namespace lampbeat::signal::spectrum
