#include "footage/waves/standing.hpp"

#include <algorithm>
#include <cmath>

#include "footage/waves/profile_fit.hpp"

namespace lampbeat::footage::waves {

namespace {

// What the pattern explains, over the variance of its noise. Noise exceeds it once in e^20 at one
// number of bands (two amplitudes: χ² of two), and some hundred are tried; shading that no cubic
// follows and stains are no noise, hence so much.
constexpr double significant = 40.0;
constexpr int highest_order = 6;
constexpr Eigen::Index fewest_rows = 24;
// Steps of the search: a fifth of a band moves the edges of the picture by a tenth of a cycle.
constexpr double step = 0.2;
// Of the rows: three and a third to a band.
constexpr double finest_bands = 0.3;
// Harmonics that stand out of noise, which alone exceeds four standard deviations once in 3000
// (e^−8), and that can be seen beside the fundamental (a share of it).
constexpr double stands_out_sd = 4.0;
constexpr double least_harmonic = 0.01;
// Neighbouring residuals that resemble each other more leave too little to count by.
constexpr double most_alike = 0.95;
constexpr double least_variance = 1e-12;
// Relative to the mean, fainter than rounding to code values leaves behind.
constexpr double least_amplitude = 5e-4;
// A pattern found so near the fewest bands is shading.
constexpr double at_the_edge = 1e-3;
// Of bands, to see how sharply the best is the best.
constexpr double curvature_step = 0.01;

/// A number of bands, its orders, and the best fit of both.
struct Standing {
  double bands = 0.0;
  std::vector<int> orders{1};
  ProfileFit fit;
};

Standing improved(Standing s, const ProfileRows& rows, const RowProfile& profile) {
  s.bands = best_bands(rows, s.fit.shading, s.orders,
                       std::max(profile.fewest_bands, s.bands - step), s.bands + step);
  s.fit = fit_profile(rows, s.fit.shading, s.bands, s.orders);
  return s;
}

/// The number of bands that leaves least, one order and every step tried.
Standing coarse(const ProfileRows& rows, const RowProfile& profile, const ProfileFit& shading_only,
                double most_bands) {
  Standing best{profile.fewest_bands, {1}, shading_only};
  double least = shading_only.squares;
  const int tries = static_cast<int>(std::ceil((most_bands - profile.fewest_bands) / step));
  for (int i = 0; i < tries; ++i) {
    const double bands = profile.fewest_bands + step * i;
    const double left = fit_profile(rows, shading_only.shading, bands, {1}).squares;
    if (left < least) {
      least = left;
      best.bands = bands;
    }
  }
  return best;
}

/// Residuals that resemble their neighbours hold less independent evidence.
double inflation_of(const ProfileFit& fit) {
  const double rho = std::clamp(fit.correlation, 0.0, most_alike);
  return (1.0 + rho) / (1.0 - rho);
}

std::vector<int> orders_that_stand_out(const Standing& s, double inflation) {
  std::vector<int> kept{1};
  for (std::size_t k = 1; k < s.orders.size(); ++k) {
    const double amplitude = std::abs(s.fit.amplitudes[k]);
    if (amplitude > stands_out_sd * s.fit.sd[k] * std::sqrt(inflation) &&
        amplitude > least_harmonic * std::abs(s.fit.amplitudes.front())) {
      kept.push_back(s.orders[k]);
    }
  }
  return kept;
}

Wave wave_of(const Standing& s, const ProfileRows& rows, double variance, double inflation) {
  Wave wave;
  wave.bands = s.bands;
  const auto left = [&](double bands) {
    return fit_profile(rows, s.fit.shading, bands, s.orders).squares;
  };
  const double curvature =
      (left(s.bands + curvature_step) + left(s.bands - curvature_step) - 2.0 * s.fit.squares) /
      (curvature_step * curvature_step);
  wave.bands_sd = curvature > 0.0 ? std::sqrt(2.0 * variance / curvature) : s.bands;
  for (std::size_t k = 0; k < s.orders.size(); ++k) {
    wave.harmonics.push_back(
        {s.orders[k], s.fit.amplitudes[k], s.fit.sd[k] * std::sqrt(inflation), {}});
  }
  return wave;
}

}  // namespace

StandingSearch find_standing(const RowProfile& profile) {
  StandingSearch search;
  const ProfileRows rows = usable_rows(profile);
  if (rows.size() < fewest_rows) return search;
  const ProfileFit shading_only = fit_profile(rows, even_shading(rows), 0.0, {});

  const double most_bands = finest_bands * static_cast<double>(rows.size());
  Standing s = improved(coarse(rows, profile, shading_only, most_bands), rows, profile);
  for (int order = 2; order <= highest_order && order * s.bands < most_bands; ++order) {
    s.orders.push_back(order);
  }
  s = improved(std::move(s), rows, profile);
  const double inflation = inflation_of(s.fit);
  s.orders = orders_that_stand_out(s, inflation);
  s = improved(std::move(s), rows, profile);

  const auto n = static_cast<double>(rows.size());
  const double variance = std::max(inflation * s.fit.squares / n, least_variance);
  search.smallest_seen = std::max(least_amplitude, std::sqrt(2.0 * significant * variance / n));
  const double amplitude = std::abs(s.fit.amplitudes.front());
  const bool surprising = (shading_only.squares - s.fit.squares) / variance >= significant;
  const bool at_edge = s.bands < profile.fewest_bands + at_the_edge;
  if (surprising && !at_edge && amplitude <= 1.0 && amplitude >= *search.smallest_seen) {
    search.wave = wave_of(s, rows, variance, inflation);
  }
  return search;
}

}  // namespace lampbeat::footage::waves
