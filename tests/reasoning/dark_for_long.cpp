// Lights that stay dark for a part of their cycle, recorded by a sound card whose coupling nobody
// told: it bends the dark part, and the light must not be taken for shallower by that.

#include <cmath>
#include <functional>
#include <numbers>
#include <random>

#include "lampbeat/measurement.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/sound_card.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

constexpr double rate_hz = 24000.0;

/// What a light does over the begun part of its cycle, 0 to 1.
using Shape = std::function<double(double)>;

struct Lamp {
  std::function<double(double)> at;
  const char* what;
};

double mean_of(const Shape& shape) {
  constexpr int points = 10000;
  double sum = 0.0;
  for (int i = 0; i < points; ++i) sum += shape((i + 0.5) / points);
  return sum / points;
}

Lamp lamp_of(double hz, double begun, const Shape& shape, const char* what) {
  const double mean = mean_of(shape);
  return {[=](double t) {
            const double cycles = hz * t + begun;
            return shape(cycles - std::floor(cycles)) / mean;
          },
          what};
}

double sine(double part) { return std::sin(std::numbers::pi * part); }

/// Of mean 1.
Lamp dark_lamp(std::mt19937& random) {
  const double own_hz = logarithmic(random, 50.0, 400.0);
  const double mains_hz = often(random, 0.5) ? 50.0 : 60.0;
  const double begun = between(random, 0.0, 1.0);
  const double share = between(random, 0.15, 0.85);
  switch (random() % 4) {
    case 0:
      return lamp_of(
          own_hz, begun, [=](double p) { return p < share ? 1.0 : 0.0; }, "chopped");
    case 1:
      return lamp_of(
          mains_hz, begun, [=](double p) { return p < share ? 1.0 : 0.0; }, "chopped at the mains");
    case 2: {
      const double most = 0.7 * share;
      return lamp_of(
          2.0 * mains_hz, begun, [=](double p) { return std::max(0.0, sine(p) - most); },
          "dark around zero");
    }
    default:
      return lamp_of(
          own_hz, begun,
          [=](double p) { return p < share ? sine(p / share) * sine(p / share) : 0.0; },
          "pulses without edges");
  }
}

}  // namespace

TEST_CASE("a light that stays dark is as deep without its mean as with it, whatever the coupling") {
  std::mt19937 random(1313);
  for (int i = 0; i < draws(80); ++i) {
    const Lamp lamp = dark_lamp(random);
    const double corner_hz = logarithmic(random, 0.5, often(random, 0.5) ? 2.5 : 20.0);
    const Lit lit = often(random, 0.8) ? Lit::long_since : Lit::at_first_sample;
    INFO(i << ": " << lamp.what << ", corner " << corner_hz);
    const signals::Samples light =
        metering::recording(rate_hz, 3.5, lamp.at, 0.002, 70 + static_cast<unsigned>(i));
    const Light real = light_from(metering::measured(light));
    MeasurementSettings upright;
    upright.upright = true;
    const Measurement lost = metering::measured(without_mean(light, corner_hz, lit), upright);
    CHECK_FALSE(lost.percent_flicker);
    const Light deepest = light_from(lost);
    REQUIRE(deepest.depth == DepthKnown::assumed_deepest);
    for (int k = 0; k < 3; ++k) {
      Shot shot = random_shot(random);
      shot.exposure_s = std::min(shot.fps.frame_s(), 1.0 / logarithmic(random, 30.0, 1000.0));
      INFO(shot.fps.per_s() << " fps, 1/" << 1.0 / shot.exposure_s);
      const double known = worst_of(real, shot).band_percent;
      const double assumed = worst_of(deepest, shot).band_percent;
      CHECK(assumed >= 0.99 * known);
      CHECK(assumed <= 1.06 * known + 0.2);
    }
  }
}
