#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/synth.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

/// Midpoint rule: knows nothing of cosines, gates or half-waves.
double by_midpoints(const LightRecipe& light, double from_s, double length_s, int points) {
  double sum = 0.0;
  for (int i = 0; i < points; ++i) sum += light.at(from_s + (i + 0.5) * length_s / points);
  return sum / points;
}

LightRecipe random_light(std::mt19937_64& engine) {
  std::uniform_real_distribution<double> uniform(0.0, 1.0);
  LightRecipe light;
  const int components = static_cast<int>(engine() % 4);
  for (int i = 0; i < components; ++i) {
    light.base.components.push_back(
        {20.0 + 900.0 * uniform(engine), 0.2 * uniform(engine), 6.3 * uniform(engine), {}});
  }
  if (engine() % 2)
    light.ripple = RectifiedRipple{45.0 + 20.0 * uniform(engine), 100.0 * uniform(engine)};
  if (engine() % 2)
    light.pwm = PwmDimmer{100.0 + 900.0 * uniform(engine), 0.05 + 0.9 * uniform(engine)};
  return light;
}

}  // namespace

TEST_CASE("The mean over an exposure is what numeric integration finds, for any light") {
  std::mt19937_64 engine(20240611);
  std::uniform_real_distribution<double> uniform(0.0, 1.0);
  for (int trial = 0; trial < 150; ++trial) {
    const LightRecipe light = random_light(engine);
    const double from_s = 10.0 * uniform(engine);
    const double length_s = std::pow(10.0, -4.0 + 2.6 * uniform(engine));
    const int points = 40000;
    // Each of the dimmer's edges costs the midpoint rule at most one point's worth of light.
    const double edges = light.pwm ? 2.0 * (light.pwm->hz * length_s + 1.0) : 0.0;
    const double tolerance = 1e-7 + edges * light.highest_possible() / points;
    CAPTURE(trial, from_s, length_s, light.pwm.has_value(), light.ripple.has_value());
    CHECK(std::abs(light.mean_over(from_s, length_s) -
                   by_midpoints(light, from_s, length_s, points)) < tolerance);
  }
}

TEST_CASE("Means over neighbouring intervals add up to the mean over both") {
  std::mt19937_64 engine(7);
  std::uniform_real_distribution<double> uniform(0.0, 1.0);
  for (int trial = 0; trial < 300; ++trial) {
    const LightRecipe light = random_light(engine);
    const double from_s = 30000.0 * uniform(engine);  // hours in, digits must still be there
    const double first_s = 0.03 * uniform(engine) + 1e-5;
    const double second_s = 0.03 * uniform(engine) + 1e-5;
    const double parts = first_s * light.mean_over(from_s, first_s) +
                         second_s * light.mean_over(from_s + first_s, second_s);
    CHECK(light.mean_over(from_s, first_s + second_s) * (first_s + second_s) ==
          Approx(parts).margin(1e-9));
  }
}

TEST_CASE("Whole cycles average to the mean, whatever the phase") {
  for (const double from_s : {0.0, 0.0013, 1.7}) {
    LightRecipe sine;
    sine.base.components = {{100.0, 0.5, 0.3, {}}};
    CHECK(sine.mean_over(from_s, 0.02) == Approx(1.0).margin(1e-12));
    LightRecipe ripple;
    ripple.ripple = RectifiedRipple{60.0, 80.0};
    CHECK(ripple.mean_over(from_s, 1.0 / 60.0) == Approx(1.0).margin(1e-12));
    LightRecipe dimmed;
    dimmed.pwm = PwmDimmer{480.0, 0.3};
    CHECK(dimmed.mean_over(from_s, 3.0 / 480.0) == Approx(1.0).margin(1e-12));
  }
}

TEST_CASE("One row of a rolling shutter collects the worked values") {
  // L = 1 + 0.5 sin 2π100t, 1/250 s, rows 2 ms apart: derived with a numeric integrator elsewhere.
  LightRecipe light;
  light.base.components = {{100.0, 0.5, -0.5 * std::numbers::pi, {}}};
  const double expected[] = {1.359892, 1.222426, 0.777574, 0.640108,
                             1.000000, 1.359892, 1.222426, 0.777574};
  for (int row = 0; row < 8; ++row) {
    CHECK(light.mean_over(0.002 * row, 0.004) == Approx(expected[row]).margin(1e-6));
  }
}

TEST_CASE("Rectified ripple has the percent flicker it is named by, and a mean of one") {
  for (const double percent : {0.0, 5.0, 20.0, 66.6666667, 100.0}) {
    LightRecipe light;
    light.ripple = RectifiedRipple{50.0, percent};
    const double highest = light.at(0.005);
    const double lowest = light.at(0.0);
    CHECK(100.0 * (highest - lowest) / (highest + lowest) == Approx(percent).margin(1e-9));
    CHECK(by_midpoints(light, 0.0, 0.01, 20000) == Approx(1.0).margin(1e-7));
    CHECK(light.highest_possible() == Approx(highest));
  }
}

TEST_CASE("A dimmer is on for its duty to the sample, even where samples fall on its edges") {
  for (const double duty : {0.1, 0.25, 0.3, 0.5, 0.7}) {
    LightRecipe light;
    light.pwm = PwmDimmer{100.0, duty};
    int on = 0;
    for (int i = 0; i < 20000; ++i) on += light.at(i / 20000.0) > 0.0;
    CHECK(on == static_cast<int>(std::lround(20000 * duty)));
  }
}
