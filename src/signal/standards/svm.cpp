#include <cmath>

#include "lampbeat/standards.hpp"

// Stroboscopic visibility measure. The method (Fourier components over a threshold curve, then a
// Minkowski sum) and the power law: Perz et al., J. Opt. Soc. Am. A 35(2), 2018, and IEC TR
// 63158:2018, as reported in secondary sources. The exponent 3.7, the sigmoid of CIE TN 006:2016
// and the choice of the power law for IEC TR 63158 are from memory.

namespace lampbeat {
namespace {

constexpr double exponent = 3.7;  ///< of the Minkowski sum
constexpr double from_hz = 80.0;  ///< IEC TR 63158: slower light is flicker, not this measure's
constexpr double to_hz = 2000.0;  ///< IEC TR 63158: where the effect ends
/// A line on the border, the 20th multiple of 100 Hz say, is measured a hair to either side of it.
constexpr double border = 1e-4;

}  // namespace

double svm_threshold(double hz, SvmThreshold curve) {
  if (curve == SvmThreshold::power_law) return 2.865e-5 * std::pow(hz, 1.543) + 0.225;
  return 1.0 / (1.0 + std::exp(-0.00518 * (hz - 306.6))) + 20.0 * std::exp(-hz / 10.0);
}

double svm(const Light& light, SvmThreshold curve) {
  double sum = 0.0;
  for (const LightComponent& c : light.components) {
    if (c.hz < from_hz * (1.0 - border) || c.hz > to_hz * (1.0 + border)) continue;
    sum += std::pow(c.amplitude / svm_threshold(c.hz, curve), exponent);
  }
  return std::pow(sum, 1.0 / exponent);
}

}  // namespace lampbeat
