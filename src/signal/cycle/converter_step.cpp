#include "signal/cycle/converter_step.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"

namespace lampbeat::signal::cycle {
namespace {

constexpr double most_codes = 4096.0;
/// Two readings closer than this to each other, of their range, differ by a calculation's rounding.
constexpr double calculation = 1e-9;
/// So far, in steps, readings may lie beside the codes: the digits they were printed with.
constexpr double beside_code = 0.02;
/// Two levels and nothing between are a switched light as well as a converter's two codes. Nobody
/// records a light that is not this many codes bright.
constexpr double fewest_codes_of_light = 4.0;

}  // namespace

double converter_step(std::span<const double> samples) {
  if (samples.size() < 2) return 0.0;
  const auto [lowest, highest] = arithmetic::range_of(samples);
  const double range = highest - lowest;
  double step = range;
  for (std::size_t i = 1; i < samples.size(); ++i) {
    const double apart = std::abs(samples[i] - samples[i - 1]);
    if (apart > calculation * range) step = std::min(step, apart);
    if (!(step * most_codes > range)) return 0.0;
  }
  const bool codes = std::all_of(samples.begin(), samples.end(), [&, low = lowest](double x) {
    return arithmetic::off_whole((x - low) / step) < beside_code;
  });
  const bool two_levels = range < 1.5 * step;
  if (two_levels && std::max(std::abs(lowest), std::abs(highest)) < fewest_codes_of_light * step) {
    return 0.0;
  }
  return codes ? step : 0.0;
}

double rounding_left(double step, double noise_sd) {
  if (!(step > 0.0)) return 0.0;
  // What scatters includes the rounding itself.
  const double square = std::max(0.0, noise_sd * noise_sd / (step * step) - 1.0 / 12.0);
  constexpr double pi = std::numbers::pi;
  return step / std::sqrt(12.0) * std::exp(-2.0 * pi * pi * square);
}

}  // namespace lampbeat::signal::cycle
