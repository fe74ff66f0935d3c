// A switched light whose cycle nearly fits into a few samples: its harmonics meet one another in
// the samples, and what they leave there is neither a second light nor irregular.

#include <cmath>
#include <random>

#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/signals.hpp"

using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::warns;

namespace {

struct Switched {
  double rate_hz = 0.0, hz = 0.0, duty = 0.0, dip = 0.0, seconds = 0.0;
  double percent_flicker() const { return 100.0 * dip / (2.0 - dip); }
  double flicker_index() const {
    return duty * (1.0 - duty) * dip / (duty + (1.0 - duty) * (1.0 - dip));
  }
};

/// So many cycles in so many samples, all but a few thousandths of a hertz ... a hertz.
Switched drawn(std::mt19937& random) {
  Switched light;
  light.rate_hz = random() % 2 ? 20000.0 : 48000.0;
  const int cycles = 1 + static_cast<int>(random() % 5);
  light.hz = between(random, 90.0, 900.0);
  const double samples = std::round(cycles * light.rate_hz / light.hz);
  const double beside = std::exp(between(random, std::log(1e-3), std::log(1.0)));
  light.hz = cycles * light.rate_hz / samples + (random() % 2 ? beside : -beside);
  light.duty = between(random, 0.15, 0.85);
  light.dip = between(random, 0.2, 1.0);
  light.seconds = between(random, 1.0, 4.0);
  return light;
}

}  // namespace

TEST_CASE("a switched light's samples that nearly repeat are no irregular light") {
  std::mt19937 random(20261130);
  lampbeat::test::Coverage percent, index, frequency;
  const int all = draws(100);
  for (int draw = 0; draw < all; ++draw) {
    const Switched light = drawn(random);
    CAPTURE(draw, light.rate_hz, light.hz, light.duty, light.dip, light.seconds);
    const auto pwm = signals::pulses(light.hz, light.duty, between(random, 0, 1));
    const auto s = metering::recording(
        light.rate_hz, light.seconds, [&](double t) { return 1.0 - light.dip * (1.0 - pwm(t)); },
        1e-3, static_cast<unsigned>(random()));
    const auto m = metering::measured(s);
    CHECK_FALSE(warns(m, "unexplained_light"));
    REQUIRE(m.percent_flicker);
    REQUIRE(m.flicker_index);
    frequency.take(m.dominant_hz.value() - light.hz, m.dominant_hz_sd.value());
    percent.take(*m.percent_flicker - light.percent_flicker(), m.percent_flicker_sd.value());
    index.take(*m.flicker_index - light.flicker_index(), m.flicker_index_sd.value());
  }
  CHECK(frequency.beyond(2.5) <= 1 + all / 20);
  CHECK(percent.beyond(2.5) <= 1 + all / 20);
  CHECK(index.beyond(2.5) <= 1 + all / 20);
}
