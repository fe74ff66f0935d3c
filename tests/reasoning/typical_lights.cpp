#include <algorithm>
#include <cmath>
#include <string>

#include "lampbeat/error.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/typical.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

struct Shape {
  double percent_flicker;
  double flicker_index;
};

/// Percent flicker and flicker index by plain sampling of a second (IES LS-1, 5.9.9.4).
Shape shape_of(const Light& light) {
  constexpr int points = 200000;
  double highest = -1e9, lowest = 1e9, above = 0.0;
  // Long enough for every rhythm used here, short enough to resolve 30 kHz.
  const double length_s = 0.1;
  for (int i = 0; i < points; ++i) {
    const double value = light_at(light, length_s * i / points);
    highest = std::max(highest, value);
    lowest = std::min(lowest, value);
    above += std::max(0.0, value - 1.0);
  }
  return {100.0 * (highest - lowest) / (highest + lowest), above / points};
}

}  // namespace

TEST_CASE("typical lights have the percent flicker of the handbook table") {
  // US DOE SSL "Flicker" fact sheet (2013) and IES handbook table, from memory.
  CHECK(shape_of(typical_light("tungsten", 60)).percent_flicker == Approx(6.6).epsilon(1e-3));
  CHECK(shape_of(typical_light("halogen", 60)).percent_flicker == Approx(5.0).epsilon(1e-3));
  CHECK(shape_of(typical_light("tube-magnetic", 60)).percent_flicker == Approx(28).epsilon(1e-3));
  CHECK(shape_of(typical_light("compact-magnetic", 60)).percent_flicker ==
        Approx(37).epsilon(1e-3));
  CHECK(shape_of(typical_light("compact-fluorescent", 50)).percent_flicker ==
        Approx(8).epsilon(1e-3));
  CHECK(shape_of(typical_light("metal-halide", 50)).percent_flicker == Approx(52).epsilon(1e-3));
  CHECK(shape_of(typical_light("sodium", 60)).percent_flicker == Approx(95).epsilon(1e-3));
  CHECK(shape_of(typical_light("led-steady", 50)).percent_flicker <= 3.0);
  CHECK(shape_of(typical_light("led-rippled", 50)).percent_flicker == Approx(100).epsilon(1e-3));
  CHECK(shape_of(typical_light("led-pwm", 50)).percent_flicker == Approx(100).epsilon(1e-3));
}

TEST_CASE("typical lights have about the flicker index of the handbook table") {
  // The same table, from memory; two significant figures at best.
  CHECK(shape_of(typical_light("tungsten", 60)).flicker_index == Approx(0.02).margin(0.005));
  CHECK(shape_of(typical_light("tube-magnetic", 60)).flicker_index == Approx(0.07).margin(0.005));
  CHECK(shape_of(typical_light("compact-magnetic", 60)).flicker_index ==
        Approx(0.11).margin(0.015));
  CHECK(shape_of(typical_light("compact-fluorescent", 60)).flicker_index ==
        Approx(0.02).margin(0.005));
  CHECK(shape_of(typical_light("metal-halide", 60)).flicker_index == Approx(0.16).margin(0.01));
  CHECK(shape_of(typical_light("sodium", 60)).flicker_index == Approx(0.25).margin(0.05));
  // A square wave that is on half the time has 1 − duty = 0.5; rounded edges take away 4/3 of their
  // half-width, here 2 % of the period (closed form for a parabolic edge).
  CHECK(shape_of(typical_light("led-pwm", 50)).flicker_index ==
        Approx(0.5 * (1.0 - 4.0 / 3.0 * 0.02)).margin(0.003));
}

TEST_CASE("a filament on either mains stays within the published 4 to 10 %") {
  // Lighting Research & Technology, doi:10.1177/1477153520959182 (abstract).
  for (const double mains_hz : {50.0, 60.0}) {
    for (const char* name : {"tungsten", "halogen"}) {
      const double percent = shape_of(typical_light(name, mains_hz)).percent_flicker;
      CHECK(percent >= 4.0);
      CHECK(percent <= 10.0);
    }
  }
}

TEST_CASE("no typical light is ever darker than dark") {
  for (const TypicalLight& kind : typical_lights()) {
    CAPTURE(kind.name);
    const Light light = typical_light(kind.name, 50);
    for (int i = 0; i < 20000; ++i) REQUIRE(light_at(light, i * 1e-6) > -1e-3);
  }
}

TEST_CASE("ripple sits at twice the mains and its multiples, switching where it likes") {
  const Light tube = typical_light("tube-magnetic", 50);
  CHECK(tube.mains_hz == 50.0);
  CHECK(tube.components.front().hz == 100.0);
  CHECK(tube.components.front().mains_order == 2);
  CHECK(retuned(tube, 60).components.front().hz == 120.0);
  const Light strip = typical_light("led-pwm", 50);
  CHECK_FALSE(strip.mains_hz.has_value());
  CHECK(strip.components.front().hz == 400.0);
  CHECK_FALSE(strip.components.front().mains_order.has_value());
}

TEST_CASE("components come strongest first and every kind says what it is and where from") {
  for (const TypicalLight& kind : typical_lights()) {
    CAPTURE(kind.name);
    CHECK_FALSE(kind.description.empty());
    CHECK_FALSE(kind.source.empty());
    const Light light = typical_light(kind.name, 60);
    CHECK(std::is_sorted(light.components.begin(), light.components.end(),
                         [](const LightComponent& a, const LightComponent& b) {
                           return a.amplitude > b.amplitude;
                         }));
  }
}

TEST_CASE("a mistyped kind is answered with its neighbour") {
  try {
    typical_light("tungstn", 50);
    FAIL("accepted");
  } catch (const UsageError& error) {
    CHECK(std::string(error.what()).find("did you mean tungsten?") != std::string::npos);
  }
  try {
    typical_light("firefly", 50);
    FAIL("accepted");
  } catch (const UsageError& error) {
    CHECK(std::string(error.what()).find("tube-magnetic") != std::string::npos);
  }
  CHECK_THROWS_AS(typical_light("", 50), UsageError);
  CHECK_THROWS_AS(typical_light("tungsten", 0), UsageError);
  CHECK_THROWS_AS(typical_light("tungsten", std::nan("")), UsageError);
}
