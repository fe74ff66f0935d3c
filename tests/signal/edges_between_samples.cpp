// A switched light sampled a nearly whole number of times a cycle: its edges fall between the same
// two samples for seconds, then between the next two. The samples change, the light does not.

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <string>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"

using namespace lampbeat;
using namespace lampbeat::test;
using metering::measured;
using metering::recording;
using metering::warns;

TEST_CASE("edges that drift past the samples are no other light and no drift") {
  std::mt19937 random(21);
  const int all = draws(100);
  int missed = 0;
  for (int i = 0; i < all; ++i) {
    const double rate_hz = std::array{2000.0, 2500.0, 4000.0, 5000.0}[random() % 4];
    const double light_hz =
        100.0 + (often(random, 0.5) ? 1.0 : -1.0) * logarithmic(random, 1e-3, 0.1);
    const double cut = between(random, 1.0 / 6.0, 5.0 / 6.0);
    const double phase = between(random, 0.0, 1.0);
    const auto light = [=](double t) {
      const double turns = light_hz * t + phase;
      const double part = turns - std::floor(turns);
      return part > cut ? std::sin(std::numbers::pi * part) : 0.0;
    };
    const double seconds = between(random, 5.0, 20.0);
    const Measurement m = measured(recording(rate_hz, seconds, light, 0.001, 5));
    INFO(light_hz << " Hz cut at " << cut << ", " << rate_hz << " samples a second for " << seconds
                  << " s");
    CHECK(m.states.empty());
    CHECK_FALSE(warns(m, "level_drift"));
    REQUIRE(m.dominant_hz);
    const double nearest = light_hz * std::round(*m.dominant_hz / light_hz);
    missed += std::abs(*m.dominant_hz - nearest) > 2.5 * *m.dominant_hz_sd;
  }
  CHECK(missed <= std::max(1, all / 20));
}

TEST_CASE("a level that really drifts is told beside edges as well") {
  const auto pulses = signals::pulses(100.003, 0.4);
  const auto light = [&](double t) { return (1.0 + 0.05 * t) * pulses(t); };
  CHECK(warns(measured(recording(5000.0, 10.0, light, 0.001)), "level_drift"));
}

TEST_CASE("a sound card that settles makes no other rhythm") {
  std::mt19937 random(8);
  for (int i = 0; i < draws(40); ++i) {
    const double light_hz = between(random, 95.0, 300.0);
    const double thump = (often(random, 0.5) ? 1.0 : -1.0) * logarithmic(random, 0.01, 0.3);
    const double settles_s = logarithmic(random, 0.005, 0.3);
    const auto light = [=](double t) {
      return 0.3 * std::sin(signals::two_pi * light_hz * t) + thump * std::exp(-t / settles_s);
    };
    const Measurement m = measured(recording(44100.0, 4.0, light, 0.001, 2));
    INFO(light_hz << " Hz, " << thump << " settles in " << settles_s << " s");
    CHECK(m.states.empty());
    for (const Finding& f : m.warnings) {
      if (f.code == "disturbed") CHECK(f.message.find("% of the mean") == std::string::npos);
    }
  }
}
