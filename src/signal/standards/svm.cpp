#include <cmath>

#include "lampbeat/standards.hpp"

// Stroboscopic visibility measure. The method (Fourier components over a threshold curve, then a
// Minkowski sum) and the power law: Perz et al., J. Opt. Soc. Am. A 35(2), 2018, and IEC TR
// 63158:2018, as reported in secondary sources. The exponent 3.7 and the choice of the power law
// for IEC TR 63158 (CIE TN 006:2016 has a sigmoid) are from memory.

namespace lampbeat {
namespace {

constexpr double exponent = 3.7;  ///< of the Minkowski sum
/// A line on the border, the 20th multiple of 100 Hz say, is measured a hair to either side of it.
constexpr double border = 1e-4;

}  // namespace

double svm_threshold(double hz) { return 2.865e-5 * std::pow(hz, 1.543) + 0.225; }

double svm(const Light& light) {
  double sum = 0.0;
  for (const LightComponent& c : light.components) {
    if (c.hz < svm_from_hz * (1.0 - border) || c.hz > svm_to_hz * (1.0 + border)) continue;
    sum += std::pow(c.amplitude / svm_threshold(c.hz), exponent);
  }
  return std::pow(sum, 1.0 / exponent);
}

}  // namespace lampbeat
