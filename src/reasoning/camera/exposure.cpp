#include "lampbeat/exposure.hpp"

#include <cmath>
#include <numbers>

namespace lampbeat {
namespace {

using std::numbers::pi;

/// sin(πx) without the rounding of πx at large x: the whole turns are taken off first.
double sin_pi(double x) {
  const double nearest = std::nearbyint(x);
  const double sine = std::sin(pi * (x - nearest));
  return std::fmod(nearest, 2.0) == 0.0 ? sine : -sine;
}

}  // namespace

double sinc(double x) { return x == 0.0 ? 1.0 : sin_pi(x) / (pi * x); }

double exposure_gain(double hz, double exposure_s) { return sinc(hz * exposure_s); }

double row_exposure(const Light& light, double start_s, double exposure_s) {
  const double middle_s = start_s + 0.5 * exposure_s;
  double value = 1.0;
  for (const LightComponent& c : light.components) {
    value += c.amplitude * exposure_gain(c.hz, exposure_s) *
             std::cos(2.0 * pi * c.hz * middle_s + c.phase_rad);
  }
  return value;
}

std::complex<double> frame_mean_gain(double hz, double readout_s, int rows) {
  const double cycles_per_row = hz * readout_s / rows;
  const double one_row = sin_pi(cycles_per_row);
  // A whole number of cycles from row to row: every row sees the same phase.
  if (std::abs(one_row) < 1e-12) return 1.0;
  const double size = sin_pi(cycles_per_row * rows) / (rows * one_row);
  return std::polar(1.0, pi * cycles_per_row * (rows - 1)) * size;
}

}  // namespace lampbeat
