#include "signal/standards/circle_extremes.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "arithmetic/lanes.hpp"

namespace lampbeat::signal::standards {
namespace {

constexpr std::size_t points_a_cycle = 8;
/// By how much a crest stands above the nearest point, over the whole swing: a band-limited
/// function bends by at most (2π·hz)² times half its swing (Bernstein's inequality), and the point
/// lies within half a step of the crest: (π/8)²/4.
constexpr double most_above = 0.0386;
/// A parabola through three points misses a crest by no more (its third and fourth differences, by
/// the same inequality), over the whole swing.
constexpr double parabola_misses = 0.02;
constexpr std::size_t reach = 3;  ///< points to each side of the nearest

/// The polynomial through seven points about the middle one (Stirling's interpolation).
struct Crest {
  explicit Crest(const std::array<double, 2 * reach + 1>& y) {
    const double d1 = (y[4] - y[2]) / 2.0;
    const double d2 = y[4] - 2.0 * y[3] + y[2];
    const double d3 = (y[5] - 2.0 * y[4] + 2.0 * y[2] - y[1]) / 2.0;
    const double d4 = y[5] - 4.0 * y[4] + 6.0 * y[3] - 4.0 * y[2] + y[1];
    const double d5 = (y[6] - 4.0 * y[5] + 5.0 * y[4] - 5.0 * y[2] + 4.0 * y[1] - y[0]) / 2.0;
    const double d6 =
        y[6] - 6.0 * y[5] + 15.0 * y[4] - 20.0 * y[3] + 15.0 * y[2] - 6.0 * y[1] + y[0];
    power = {y[3],
             d1 - d3 / 6.0 + d5 / 30.0,
             d2 / 2.0 - d4 / 24.0 + d6 / 180.0,
             d3 / 6.0 - d5 / 24.0,
             d4 / 24.0 - d6 / 144.0,
             d5 / 120.0,
             d6 / 720.0};
  }
  double at(double t) const {
    double sum = 0.0;
    for (std::size_t k = power.size(); k-- > 0;) sum = sum * t + power[k];
    return sum;
  }
  double slope(double t) const {
    double sum = 0.0;
    for (std::size_t k = power.size(); k-- > 1;) sum = sum * t + static_cast<double>(k) * power[k];
    return sum;
  }
  double bend(double t) const {
    double sum = 0.0;
    for (std::size_t k = power.size(); k-- > 2;) {
      sum = sum * t + static_cast<double>(k * (k - 1)) * power[k];
    }
    return sum;
  }
  /// Its height, within half a step: Newton's steps from the parabola's crest.
  double height() const {
    constexpr int steps = 3;  // each doubles the digits of a place known to a tenth
    double t = 0.0;
    for (int i = 0; i < steps; ++i) {
      const double bent = bend(t);
      if (!(bent < 0.0)) break;
      t = std::clamp(t - slope(t) / bent, -0.5, 0.5);
    }
    return std::max(power[0], at(t));
  }

  std::array<double, 2 * reach + 1> power;
};

/// The higher of `best` and the crest about point `i`, of the negative record where `sign` is −1.
double higher(std::span<const double> point, std::size_t i, double sign, double best,
              double swing) {
  const std::size_t n = point.size();
  std::array<double, 2 * reach + 1> about;
  for (std::size_t k = 0; k < about.size(); ++k) {
    about[k] = sign * point[(i + n + k - reach) & (n - 1)];
  }
  const double before = about[reach - 1];
  const double here = about[reach];
  const double after = about[reach + 1];
  const double bend = before - 2.0 * here + after;
  const double tilt = after - before;
  const bool missed =
      bend < 0.0 && here - tilt * tilt / (8.0 * bend) < best - parabola_misses * swing;
  return missed ? best : std::max(best, Crest(about).height());
}

}  // namespace

std::size_t points_for_extremes(std::size_t last) {
  return std::bit_ceil(points_a_cycle * (last + 1));
}

FilteredExtremes circle_extremes(std::span<const double> point) {
  namespace simd = std::experimental;
  using arithmetic::Lanes;
  using arithmetic::lanes;
  using arithmetic::lanes_at;
  const auto [low, high] = arithmetic::range_of(point);
  const double swing = high - low;
  FilteredExtremes extremes{high, low};
  const std::size_t last = point.size() - 1;
  const double crests_from = high - most_above * swing;
  const double troughs_to = low + most_above * swing;
  const auto look = [&](std::size_t i) {
    const double before = point[(i + last) & last];
    const double here = point[i];
    const double after = point[(i + 1) & last];
    if (here >= crests_from && here >= before && here >= after) {
      extremes.highest = higher(point, i, 1.0, extremes.highest, swing);
    }
    if (here <= troughs_to && here <= before && here <= after) {
      extremes.lowest = -higher(point, i, -1.0, -extremes.lowest, swing);
    }
  };
  const Lanes from = crests_from, to = troughs_to;
  std::size_t i = 1;
  for (; i + lanes < point.size(); i += lanes) {
    const Lanes before = lanes_at(point.data() + i - 1);
    const Lanes here = lanes_at(point.data() + i);
    const Lanes after = lanes_at(point.data() + i + 1);
    const auto crest = here >= from && here >= before && here >= after;
    const auto trough = here <= to && here <= before && here <= after;
    if (simd::none_of(crest || trough)) continue;
    for (std::size_t k = 0; k < lanes; ++k) look(i + k);
  }
  for (; i < point.size(); ++i) look(i);
  look(0);
  return extremes;
}

}  // namespace lampbeat::signal::standards
