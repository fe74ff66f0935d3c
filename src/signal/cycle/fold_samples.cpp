#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"
#include "signal/cycle/cell_place.hpp"
#include "signal/cycle/fold.hpp"
#include "signal/cycle/median_of_squares.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Samples that lie in one place of their cell, but for rounding, tell no slope.
constexpr double no_spread = 1e-9;

/// Scatter within the cells. The median over the cells leaves out the few that hold an edge.
double noise_within(const Fold& fold) {
  std::vector<double> variances;
  for (std::size_t i = 0; i < fold.resolution.cells(); ++i) {
    const Fold::Scatter s = fold.scatter(i);
    if (s.freedom < 1.0) continue;
    variances.push_back(s.sum_of_squares / s.freedom / median_of_squares(s.freedom));
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
    if (spread < no_spread * n || s.freedom < 2.0) return;
    s.sum_of_squares -= slope * slope / spread;
    s.freedom -= 1.0;
  };
  take_out(a.u + b.u, a.uu + b.uu, a.xu + b.xu);
  if (resolution.second > 1) take_out(a.v + b.v, a.vv + b.vv, a.xv + b.xv);
  s.sum_of_squares = std::max(0.0, s.sum_of_squares);
  return s;
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
    const CellPlace p = place_in(samples.first[i], resolution.first);
    std::size_t cell = p.cell;
    double v = 0.0;
    if (two) {
      const CellPlace q = place_in(samples.second[i], resolution.second);
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

}  // namespace lampbeat::signal::cycle
