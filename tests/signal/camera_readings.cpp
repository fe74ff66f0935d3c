// Brightness read at a camera's rate, or a few times a cycle: the frequency may be known, the depth
// is not. Beat of light and frame rate: |f - n * rate| (sampling theorem).

#include <cmath>
#include <random>

#include <fmt/format.h>

#include "lampbeat/capture.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/meter.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

Measurement read_at(double rate_hz, double light_hz, double depth, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0.0, 0.002);
  std::vector<double> value;
  for (int i = 0; i < static_cast<int>(20.0 * rate_hz); ++i) {
    value.push_back(1.0 + depth * std::cos(6.283185307179586 * light_hz * i / rate_hz + 0.4) +
                    noise(random));
  }
  return measure(*capture_from_samples("readings", std::move(value), rate_hz), {});
}

}  // namespace

TEST_CASE("Readings at a camera's rate name the mains ripple whose beat they hold") {
  std::mt19937 random(50);
  std::uniform_real_distribution<double> part(-0.1, 0.1);
  for (const double rate_hz :
       {24000.0 / 1001.0, 24.0, 25.0, 30000.0 / 1001.0, 30.0, 50.0, 60000.0 / 1001.0, 60.0}) {
    for (const double nominal_hz : {100.0, 120.0}) {
      const double light_hz = nominal_hz + part(random);
      const double beat_hz = std::abs(light_hz - rate_hz * std::round(light_hz / rate_hz));
      if (beat_hz < 0.5) continue;
      INFO(fmt::format("{:.3f} readings a second, {:.3f} Hz", rate_hz, light_hz));
      const Measurement m = read_at(rate_hz, light_hz, 0.03, 1);
      const Finding* beat = finding(m, "mains_beat");
      REQUIRE(beat);
      const auto swing = beat->message.find("swing ") + 6;
      CHECK(std::stod(beat->message.substr(swing)) == Approx(beat_hz).margin(0.1));
      const auto at = beat->message.find("flickers at ") + 12;
      CHECK(std::stod(beat->message.substr(at)) == Approx(light_hz).margin(0.1));
      CHECK_FALSE(m.percent_flicker);
      CHECK_FALSE(m.steady_below_percent);
    }
  }
}

TEST_CASE(
    "240 readings a second tell 100 Hz by its frequency, with its doubt and without a depth") {
  const Measurement m = read_at(240.0, 100.02, 0.3, 2);
  REQUIRE(m.dominant_hz);
  CHECK(*m.dominant_hz == Approx(100.02).margin(0.01));
  CHECK_FALSE(m.percent_flicker);
  CHECK_FALSE(m.ieee);
  CHECK(finding(m, "rate_too_low"));
  CHECK(finding(m, "alias_suspected"));
  CHECK_THROWS_AS(light_from(m), InputError);
  // 120 Hz lies on half the rate, where nothing shows: no word of steady light.
  CHECK_FALSE(read_at(240.0, 120.0, 0.3, 3).steady_below_percent);
  CHECK_FALSE(read_at(240.0, 100.0, 0.0, 4).steady_below_percent);
}

TEST_CASE("A log of a few readings a second stays without a word on flicker") {
  const Measurement m = read_at(5.0, 100.3, 0.3, 5);
  CHECK(finding(m, "rate_too_low"));
  CHECK_FALSE(finding(m, "mains_beat"));
  CHECK_FALSE(m.dominant_hz);
}
