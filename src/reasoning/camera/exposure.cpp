#include "lampbeat/exposure.hpp"

#include <cmath>
#include <numbers>

#include "reasoning/camera/frame_mean.hpp"
#include "reasoning/camera/half_turns.hpp"

namespace lampbeat {
namespace {

using std::numbers::pi;

}  // namespace

double sinc(double x) { return x == 0.0 ? 1.0 : reasoning::camera::sin_pi(x) / (pi * x); }

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
  const std::optional<double> size = reasoning::camera::frame_mean_size(hz, readout_s, rows);
  if (!size) return 1.0;
  return std::polar(1.0, pi * (hz * readout_s / rows) * (rows - 1)) * *size;
}

}  // namespace lampbeat
