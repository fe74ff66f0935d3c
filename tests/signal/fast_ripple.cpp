// A driver's ripple on top of the mains' own: harmonics so fast that the samples of a cycle, where
// its phases repeat, show few of each. Percent flicker has to reach it, or its ± has to.

#include <algorithm>
#include <cmath>
#include <random>

#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/signals.hpp"

using lampbeat::test::between;
using lampbeat::test::Coverage;
using lampbeat::test::draws;

namespace {

struct Rippled {
  double rate_hz = 0.0, hz = 0.0, slow = 0.0, fast = 0.0, slow_rad = 0.0, fast_rad = 0.0;
  int order = 2;

  double at(double t) const {
    constexpr double turn = 2.0 * M_PI;
    return 1.0 + slow * std::cos(turn * hz * t + slow_rad) +
           fast * std::cos(turn * hz * order * t + fast_rad);
  }
  /// Read off the formula, 20 000 times a cycle.
  double percent_flicker() const {
    double highest = 0.0;
    double lowest = 2.0;
    for (int i = 0; i < 20000; ++i) {
      const double x = at(i / 20000.0 / hz);
      highest = std::max(highest, x);
      lowest = std::min(lowest, x);
    }
    return 100.0 * (highest - lowest) / (highest + lowest);
  }
};

Rippled drawn(std::mt19937& random) {
  constexpr double rates_hz[] = {20000.0, 44100.0, 48000.0, 96000.0};
  Rippled light;
  light.rate_hz = rates_hz[random() % 4];
  light.hz = random() % 2 ? 100.0 : 120.0;
  // As often as not the cycle fits the samples, and its phases repeat.
  if (random() % 2) light.hz += between(random, -0.1, 0.1);
  constexpr double below_half_rate = 0.45;
  const int fastest = std::min(80, static_cast<int>(below_half_rate * light.rate_hz / light.hz));
  light.order = 2 + static_cast<int>(random() % static_cast<unsigned>(fastest - 1));
  light.slow = between(random, 0.05, 0.4);
  light.fast = between(random, 0.02, 0.3);
  light.slow_rad = between(random, 0.0, 6.28);
  light.fast_rad = between(random, 0.0, 6.28);
  return light;
}

}  // namespace

TEST_CASE("ripple much faster than the light's cycle is in its percent flicker, or in the ±") {
  std::mt19937 random(20261130);
  Coverage percent;
  int measured = 0;
  const int all = draws(200);
  for (int draw = 0; draw < all; ++draw) {
    const Rippled light = drawn(random);
    const double noise = std::exp(between(random, std::log(1e-4), std::log(0.03)));
    const auto m = metering::measured(metering::recording(
        light.rate_hz, between(random, 1.0, 4.0), [&](double t) { return light.at(t); }, noise,
        static_cast<unsigned>(random())));
    if (!m.percent_flicker) continue;  // withheld is well
    ++measured;
    CAPTURE(draw, light.rate_hz, light.hz, light.order, light.slow, light.fast, noise);
    const double truth = light.percent_flicker();
    percent.take(*m.percent_flicker - truth, std::max(m.percent_flicker_sd.value(), 1e-3 * truth));
    CHECK(m.percent_flicker_sd.value() < 0.5 * truth);
  }
  CHECK(measured > 0.9 * all);
  CHECK(percent.beyond(3.3) <= 1 + all / 40);
}

TEST_CASE("noise that looks like a faster harmonic of a sine moves percent flicker within its ±") {
  std::mt19937 random(20261201);
  for (const double noise : {0.003, 0.03, 0.1}) {
    CAPTURE(noise);
    Coverage percent;
    const int all = draws(100);
    for (int draw = 0; draw < all; ++draw) {
      const auto m = metering::measured(metering::recording(
          20000, 2, [](double t) { return 1.0 + 0.3 * std::cos(2.0 * M_PI * 100.0 * t); }, noise,
          static_cast<unsigned>(random())));
      percent.take(m.percent_flicker.value() - 30.0, m.percent_flicker_sd.value());
    }
    CHECK(percent.beyond(2.5) <= 1 + all / 20);
  }
}
