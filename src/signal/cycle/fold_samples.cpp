#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "arithmetic/median.hpp"
#include "signal/cycle/fold.hpp"

namespace lampbeat::signal {
namespace {

/// Of a number far within the range of the integers.
double fraction(double x) {
  const double rest = x - static_cast<double>(static_cast<long long>(x));
  const double f = rest < 0.0 ? rest + 1.0 : rest;
  return f < 1.0 ? f : 0.0;
}

/// Which cell a phase falls into, and where in it.
struct Place {
  std::size_t cell;
  double offset;
};
Place place_in(double phase, std::size_t divisions) {
  const double n = static_cast<double>(divisions);
  double position = (phase - first_border) * n;
  if (position >= n) position -= n;
  const std::size_t cell = std::min(static_cast<std::size_t>(position), divisions - 1);
  return {cell, position - static_cast<double>(cell) - 0.5};
}

/// Median of a chi-squared variable over its degrees of freedom (Wilson & Hilferty, PNAS 17, 1931).
double median_factor(double freedom) {
  const double x = 1.0 - 2.0 / (9.0 * freedom);
  return x * x * x;
}

/// Scatter within the cells. The median over the cells leaves out the few that hold an edge.
double noise_within(const Fold& fold) {
  std::vector<double> variances;
  for (std::size_t i = 0; i < fold.resolution.cells(); ++i) {
    const Fold::Scatter s = fold.scatter(i);
    if (s.freedom < 1.0) continue;
    variances.push_back(s.sum_of_squares / s.freedom / median_factor(s.freedom));
  }
  return variances.empty() ? 0.0 : std::sqrt(arithmetic::upper_median(variances));
}

}  // namespace

Fold::Scatter Fold::scatter(std::size_t cell) const {
  const CellSums& a = half[0][cell];
  const CellSums& b = half[1][cell];
  const double n = a.count + b.count;
  if (n < 2.0) return {};
  const double middle = (a.value + b.value) / n;
  Scatter s{a.square + b.square - n * middle * middle, n - 1.0};
  const auto take_out = [&](double sum, double squares, double products) {
    const double spread = squares - sum * sum / n;
    const double slope = products - sum * middle;
    if (spread < 1e-9 * n || s.freedom < 2.0) return;
    s.sum_of_squares -= slope * slope / spread;
    s.freedom -= 1.0;
  };
  take_out(a.u + b.u, a.uu + b.uu, a.xu + b.xu);
  if (resolution.second > 1) take_out(a.v + b.v, a.vv + b.vv, a.xv + b.xv);
  s.sum_of_squares = std::max(0.0, s.sum_of_squares);
  return s;
}

std::optional<PhasedSamples> phase_samples(const Window& window,
                                           const std::vector<Rhythm>& rhythms) {
  if (rhythms.empty() || rhythms.size() > 2 || window.size() < 6) return std::nullopt;
  double slowest_hz = rhythms[0].hz;
  for (const Rhythm& rhythm : rhythms) {
    if (!(rhythm.hz > 0.0) || !std::isfinite(rhythm.hz) || !std::isfinite(rhythm.phase_rad)) {
      return std::nullopt;
    }
    slowest_hz = std::min(slowest_hz, rhythm.hz);
  }
  // A hair of a cycle forgives the rounding of a duration that is whole.
  const double cycles = std::floor(window.duration_s() * slowest_hz + 1e-6);
  if (!(cycles >= 3.0 && cycles < 1e12)) return std::nullopt;
  const double end_s = cycles / slowest_hz - 1e-6 * window.interval_s;

  PhasedSamples samples;
  const std::size_t n = window.size();
  const bool two = rhythms.size() == 2;
  samples.value.resize(n);
  samples.time_s.resize(n);
  samples.first.resize(n);
  samples.half.resize(n);
  if (two) samples.second.resize(n);
  const double turn = 2.0 * std::numbers::pi;
  unsigned long long cycle = 0;
  unsigned half = 0;
  const double start_first = std::remainder(rhythms[0].phase_rad / turn, 1.0);
  const double start_second = two ? std::remainder(rhythms[1].phase_rad / turn, 1.0) : 0.0;
  std::size_t used = 0;
  for (; used < n; ++used) {
    const double t = window.time_at(used);
    if (t >= end_s) break;
    if (!std::isfinite(window.value[used]) || !std::isfinite(t)) return std::nullopt;
    samples.value[used] = window.value[used];
    samples.time_s[used] = t;
    samples.first[used] = fraction(rhythms[0].hz * t + start_first);
    if (two) samples.second[used] = fraction(rhythms[1].hz * t + start_second);
    const auto now = static_cast<unsigned long long>(std::max(0.0, t * slowest_hz));
    if (now != cycle) {
      cycle = now;
      half = static_cast<unsigned>(std::popcount(cycle)) & 1u;
    }
    samples.half[used] = half;
  }
  samples.value.resize(used);
  samples.time_s.resize(used);
  samples.first.resize(used);
  samples.half.resize(used);
  if (two) samples.second.resize(used);
  if (samples.size() < 6) return std::nullopt;
  return samples;
}

Fold gather(const PhasedSamples& samples, Resolution resolution) {
  Fold fold;
  fold.resolution = resolution;
  for (auto& half : fold.half) half.resize(resolution.cells());
  const bool two = !samples.second.empty() && resolution.second > 1;
  // Sums of squares are taken about a value near the mean, to keep their digits.
  double total = 0.0;
  for (const double x : samples.value) total += x;
  fold.samples = static_cast<double>(samples.size());
  fold.mean = total / fold.samples;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const Place p = place_in(samples.first[i], resolution.first);
    std::size_t cell = p.cell;
    double v = 0.0;
    if (two) {
      const Place q = place_in(samples.second[i], resolution.second);
      cell += q.cell * resolution.first;
      v = q.offset;
    }
    CellSums& sums = fold.half[samples.half[i]][cell];
    const double x = samples.value[i] - fold.mean;
    sums.count += 1.0;
    sums.value += x;
    sums.square += x * x;
    sums.u += p.offset;
    sums.uu += p.offset * p.offset;
    sums.xu += x * p.offset;
    if (two) {
      sums.v += v;
      sums.vv += v * v;
      sums.uv += p.offset * v;
      sums.xv += x * v;
    }
  }
  return fold;
}

Fold merged(const Fold& fine, bool along_first) {
  Fold coarse;
  coarse.mean = fine.mean;
  coarse.samples = fine.samples;
  coarse.resolution = fine.resolution;
  (along_first ? coarse.resolution.first : coarse.resolution.second) /= 2;
  for (unsigned h = 0; h < 2; ++h) {
    coarse.half[h].resize(coarse.resolution.cells());
    for (std::size_t j = 0; j < fine.resolution.second; ++j) {
      for (std::size_t i = 0; i < fine.resolution.first; ++i) {
        const CellSums& from = fine.half[h][j * fine.resolution.first + i];
        if (from.count == 0.0) continue;
        CellSums& to = coarse.half[h][along_first ? j * coarse.resolution.first + i / 2
                                                  : (j / 2) * coarse.resolution.first + i];
        to.count += from.count;
        to.value += from.value;
        to.square += from.square;
        // An offset o in one of the two becomes (o ± 1/2)/2 in their union.
        const auto shifted = [&](double offset, double by, double weight) {
          return (offset + by * weight) / 2.0;
        };
        const auto shifted_square = [&](double square, double offset, double by) {
          return (square + 2.0 * by * offset + by * by * from.count) / 4.0;
        };
        const double by = ((along_first ? i : j) % 2 == 0) ? -0.5 : 0.5;
        if (along_first) {
          to.u += shifted(from.u, by, from.count);
          to.uu += shifted_square(from.uu, from.u, by);
          to.xu += shifted(from.xu, by, from.value);
          to.v += from.v;
          to.vv += from.vv;
          to.uv += shifted(from.uv, by, from.v);
          to.xv += from.xv;
        } else {
          to.u += from.u;
          to.uu += from.uu;
          to.xu += from.xu;
          to.v += shifted(from.v, by, from.count);
          to.vv += shifted_square(from.vv, from.v, by);
          to.uv += shifted(from.uv, by, from.u);
          to.xv += shifted(from.xv, by, from.value);
        }
      }
    }
  }
  return coarse;
}

void judge(Fold& fold) {
  fold.noise_sd = noise_within(fold);
  double low = 0.0;
  double high = 0.0;
  for (std::size_t i = 0; i < fold.resolution.cells(); ++i) {
    const double n = fold.half[0][i].count + fold.half[1][i].count;
    if (n == 0.0) continue;
    const double mean = (fold.half[0][i].value + fold.half[1][i].value) / n;
    low = std::min(low, mean);
    high = std::max(high, mean);
  }
  fold.range = high - low;
}

bool level_out(PhasedSamples& samples, const Fold& coarse) {
  if (!(coarse.mean > 0.0)) return false;
  std::vector<double> model(coarse.resolution.cells());
  for (std::size_t i = 0; i < model.size(); ++i) {
    const CellSums& a = coarse.half[0][i];
    const CellSums& b = coarse.half[1][i];
    model[i] = coarse.mean + (a.value + b.value) / std::max(1.0, a.count + b.count);
  }
  double middle_s = 0.0;
  for (const double t : samples.time_s) middle_s += t;
  middle_s /= coarse.samples;
  // x = cycle(phase) · (1 + slope · (t − middle)): least squares for the slope.
  double cross = 0.0;
  double square = 0.0;
  double scatter = 0.0;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    std::size_t cell = place_in(samples.first[i], coarse.resolution.first).cell;
    if (coarse.resolution.second > 1) {
      cell += place_in(samples.second[i], coarse.resolution.second).cell * coarse.resolution.first;
    }
    const double residual = samples.value[i] - model[cell];
    const double lever = model[cell] * (samples.time_s[i] - middle_s);
    cross += residual * lever;
    square += lever * lever;
    scatter += residual * lever * residual * lever;
  }
  if (!(square > 0.0)) return false;
  const double slope = cross / square;
  // Residuals may be as uneven as the light (a dimmer's edges): White, Econometrica 48(4), 1980.
  const double slope_sd = std::sqrt(scatter) / square;
  const double change = slope * (samples.time_s.back() - samples.time_s.front());
  // Below a fiftieth of a percent over the window it is not worth touching the samples; beyond
  // a factor of three a straight line is no description of it.
  if (std::abs(change) < 2e-4 || std::abs(slope) < 4.0 * slope_sd || std::abs(change) > 1.0) {
    return false;
  }
  for (std::size_t i = 0; i < samples.size(); ++i) {
    samples.value[i] /= 1.0 + slope * (samples.time_s[i] - middle_s);
  }
  return true;
}

}  // namespace lampbeat::signal
