#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/spliced_lights.hpp"

using namespace lampbeat;
using namespace metering;
using namespace spliced;

namespace {

/// A first-order random walk that returns: slow noise below a corner, `rms` strong.
std::vector<double> slow_noise(Random& random, std::size_t samples, double rate_hz,
                               double corner_hz, double rms) {
  std::normal_distribution<double> normal;
  const double keeps = std::exp(-signals::two_pi * corner_hz / rate_hz);
  std::vector<double> noise(samples);
  double x = normal(random);
  for (double& value : noise) {
    x = keeps * x + std::sqrt(1 - keeps * keeps) * normal(random);
    value = rms * x;
  }
  return noise;
}

enum Kind { plain, two_lamps, warming_up, sensor_drifts, mains_wanders, irregular, kinds };

std::function<double(double)> any_light(Random& random, Kind kind, double rate_hz) {
  Lamp a = any_lamp(random, rate_hz);
  Lamp b = any_lamp(random, rate_hz);
  a.level = b.level = 1.0;
  const double share = between(random, 0.1, 0.9);
  const double cold = between(random, 0.02, 0.4);
  const double warm_s = between(random, 1, 10);
  const double turn_s = between(random, 5, 60);
  const double start = between(random, 0, signals::two_pi);
  switch (kind) {
    case two_lamps:
      // Closer than a few hertz they beat so slowly that the light really does come and go.
      if (std::abs(a.hz - b.hz) < 5) b.hz += 7.3;
      return [=](double t) { return share * a.at(t) + (1 - share) * b.at(t); };
    case warming_up:
      return [=](double t) { return (1 - cold * std::exp(-t / warm_s)) * a.at(t); };
    case mains_wanders:
      // ± 0.05 Hz of the mains is ± 0.1 Hz of its light.
      return [=](double t) {
        const double strays = 0.1 * turn_s * std::sin(signals::two_pi * t / turn_s + start);
        return 1 + a.depth * std::cos(signals::two_pi * 100 * t + strays);
      };
    default:
      return [=](double t) { return a.at(t); };
  }
}

}  // namespace

TEST_CASE("A light that is one all along is not divided into states") {
  Random random(22);
  const int all = lampbeat::test::draws(400);
  int divided = 0;
  for (int draw = 0; draw < all; ++draw) {
    const auto kind = static_cast<Kind>(draw % kinds);
    const double rate_hz = logarithmic(random, 2000, 60000);
    const double seconds = std::min(between(random, 1, 20), 1.5e5 / rate_hz);
    auto s = recording(rate_hz, seconds, any_light(random, kind, rate_hz),
                       logarithmic(random, 1e-4, 0.02), static_cast<unsigned>(draw));
    if (kind == sensor_drifts || kind == irregular) {
      const bool sensor = kind == sensor_drifts;
      const auto added =
          slow_noise(random, s.value.size(), rate_hz, sensor ? 0.5 : logarithmic(random, 5, 400),
                     sensor ? 0.002 : logarithmic(random, 0.01, 0.1));
      for (std::size_t i = 0; i < added.size(); ++i) s.value[i] += added[i];
    }
    const Measurement m = measured(s);
    divided += warns(m, "states_differ") || !m.states.empty();
    if (warns(m, "states_differ"))
      UNSCOPED_INFO(draw << " " << finding(m, "states_differ")->message);
  }
  CHECK(divided <= 1 + all / 200);
}
