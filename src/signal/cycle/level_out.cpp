#include <algorithm>
#include <cmath>

#include "signal/cycle/cell_place.hpp"
#include "signal/cycle/fold.hpp"
#include "signal/cycle/level_slope.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// Standard deviations of a slope that is no accident: of noise, one window in 16 000.
constexpr double slope_sds = 4.0;

}  // namespace

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
  if (!worth_levelling(change) || std::abs(slope) < slope_sds * slope_sd) {
    return false;
  }
  for (std::size_t i = 0; i < samples.size(); ++i) {
    samples.value[i] /= 1.0 + slope * (samples.time_s[i] - middle_s);
  }
  return true;
}

}  // namespace lampbeat::signal::cycle
