#include "signal/spectrum/low_lines.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <numbers>
#include <optional>

#include "arithmetic/lanes.hpp"
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

/// Points on the circle: twice what the lines need, in both signs of frequency.
std::size_t circle_points(std::size_t highest) { return std::bit_ceil(4 * (highest + 1)); }

}  // namespace

bool few_lines(std::size_t samples, std::size_t highest) {
  constexpr std::size_t samples_a_point = 8;  // fewer, and gathering costs what it saves
  constexpr std::size_t long_record = 32768;  // a shorter one transforms in less than a millisecond
  return samples >= std::max(long_record, samples_a_point * circle_points(highest));
}

namespace {

/// As many taps, or a few more of no weight, as products are summed without a remainder.
std::size_t whole_turns(std::size_t taps) {
  constexpr std::size_t turn = arithmetic::products_abreast;
  return (taps + turn - 1) / turn * turn;
}

/// How a record of so many samples is gathered onto a circle of so many points.
class Gathering {
 public:
  Gathering(std::size_t samples, std::size_t points)
      : samples_(samples),
        points_(points),
        spacing_(static_cast<double>(samples) / static_cast<double>(points)),
        half_width_(reach_points * spacing_),
        reach_(static_cast<std::size_t>(half_width_) + 1),
        taps_(whole_turns(2 * reach_ + 1)),
        places_(std::bit_ceil(std::max(fewest_places, table_size / taps_))),
        window_((places_ + 1) * taps_) {
    for (std::size_t i = 0; i <= places_; ++i) {
      const double off =
          static_cast<double>(i) / static_cast<double>(places_) + static_cast<double>(reach_);
      for (std::size_t j = 0; j < taps_; ++j) {
        const double place = (static_cast<double>(j) - off) / half_width_;
        window_[i * taps_ + j] = kaiser_bessel(place * place);
      }
    }
  }
  bool fits(std::size_t samples, std::size_t points) const {
    return samples == samples_ && points == points_;
  }
  void gather(std::span<const double> value, std::span<double> circle) const;
  /// What the window leaves of a line, to be undone.
  double droop(std::size_t line) const {
    const double turns = static_cast<double>(line) * half_width_ / static_cast<double>(samples_);
    return half_width_ * kaiser_bessel_transform(turns) / spacing_;
  }

 private:
  std::size_t samples_;
  std::size_t points_;
  double spacing_;
  double half_width_;
  std::size_t reach_;
  std::size_t taps_;
  /// The window is seen by a point that lies i/places of a sample after a sample; a point is taken
  /// to lie at the nearest of these. The slower the lines beside the sampling, the fewer will do. A
  /// power of two, as the points are: most lengths then have all their points on places.
  std::size_t places_;
  std::vector<double> window_;
};

void Gathering::gather(std::span<const double> value, std::span<double> circle) const {
  const int bits = std::countr_zero(points_);  // a power of two
  std::vector<double> joined(taps_);           // around the place where the circle is closed
  for (std::size_t m = 0; m < points_; ++m) {
    const std::size_t centre = m * samples_;  // in parts of a sample, as many as there are points
    const std::size_t before = centre >> bits;
    const std::size_t place = ((centre & (points_ - 1)) * places_ + points_ / 2) >> bits;
    std::span<const double> seen = joined;
    if (before >= reach_ && before - reach_ + taps_ <= samples_) {
      seen = value.subspan(before - reach_, taps_);
    } else {
      for (std::size_t j = 0; j < taps_; ++j) {
        joined[j] = value[(before + samples_ + j - reach_) % samples_];
      }
    }
    const auto window = std::span<const double>(window_).subspan(place * taps_, taps_);
    circle[m] = arithmetic::sum_of_products(window, seen);
  }
}

/// What is the same for every record of one length: most windows of a capture have the same.
struct Preparation {
  Gathering gathering;
  std::vector<double> droop;
};

}  // namespace

std::vector<std::complex<double>> low_lines(std::span<const double> value, std::size_t highest) {
  const std::size_t points = circle_points(highest);
  thread_local std::optional<Preparation> ready;
  if (!ready || !ready->gathering.fits(value.size(), points) || ready->droop.size() <= highest) {
    ready = Preparation{Gathering(value.size(), points), std::vector<double>(highest + 1)};
    for (std::size_t k = 0; k <= highest; ++k) ready->droop[k] = ready->gathering.droop(k);
  }
  std::vector<std::complex<double>> lines(points / 2 + 1);
  ready->gathering.gather(value, reals_of(lines).first(points));
  transform_in_place(lines, points);
  lines.resize(highest + 1);
  for (std::size_t k = 0; k <= highest; ++k) lines[k] /= ready->droop[k];
  return lines;
}

}  // namespace lampbeat::signal::spectrum
