#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/error.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/rating.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/sound_card.hpp"

// A recording without its mean is judged at the deepest its light can be. Real lamps, recorded with
// their mean and without, are held against each other.

using namespace lampbeat;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::has_finding;
using lampbeat::test::logarithmic;
using lampbeat::test::often;
using lampbeat::test::random_shot;
using lampbeat::test::without_mean;
using lampbeat::test::worst_of;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double rate_hz = 48000.0;

/// A lamp over time, of mean about 1 and any depth.
struct Lamp {
  std::function<double(double)> at;
  std::string what;
};

Lamp random_lamp(std::mt19937& random) {
  const double depth = between(random, 0.05, 1.0);
  const double mains_hz = (often(random, 0.5) ? 50.0 : 60.0) + between(random, -0.02, 0.02);
  const double phase = between(random, 0.0, 1.0);
  switch (random() % 4) {
    case 0:
      return {[=](double t) {
                return 1.0 - depth +
                       depth * pi / 2.0 * std::abs(std::sin(2 * pi * mains_hz * t + phase));
              },
              "rectified"};
    case 1:
      return {[=](double t) { return 1.0 + depth * std::cos(4 * pi * mains_hz * t + phase); },
              "sine"};
    case 2: {
      const double hz = logarithmic(random, 150.0, 2000.0);
      const double duty = between(random, 0.1, 0.9);
      return {[=](double t) {
                const double cycles = hz * t + phase;
                return 1.0 - depth + (cycles - std::floor(cycles) < duty ? depth / duty : 0.0);
              },
              "chopped"};
    }
    default: {
      const double cut = between(random, 0.1, 0.8);
      return {[=](double t) {
                const double cycles = 2.0 * mains_hz * t + phase;
                const double part = cycles - std::floor(cycles);
                return 1.0 - depth + (part < cut ? 0.0 : 2.0 * depth * std::sin(pi * part));
              },
              "phase cut"};
    }
  }
}

signals::Samples recorded(const Lamp& lamp, unsigned seed) {
  return metering::recording(rate_hz, 4.0, lamp.at, 0.003, seed);
}

}  // namespace

TEST_CASE("a lamp is never judged worse than its recording without the mean") {
  std::mt19937 random(1311);
  for (int i = 0; i < draws(120); ++i) {
    const Lamp lamp = random_lamp(random);
    const signals::Samples light = recorded(lamp, 7 + static_cast<unsigned>(i));
    const double corner_hz = logarithmic(random, 3.0, 20.0);
    const Measurement with_mean = metering::measured(light);
    signals::Samples ac = without_mean(light, corner_hz);
    const bool turned = often(random, 0.3) && lamp.what == "chopped";
    if (turned) {
      for (double& x : ac.value) x = -x;
    }
    const Measurement lost = metering::measured(ac);
    INFO(i << ": " << lamp.what << (turned ? ", upside down" : "") << ", corner " << corner_hz);
    REQUIRE(with_mean.mean);
    REQUIRE_FALSE(lost.mean);
    REQUIRE_FALSE(lost.deepest.empty());
    CHECK_FALSE(lost.percent_flicker);
    const Light real = light_from(with_mean);
    const Light deepest = light_from(lost);
    CHECK(real.depth == DepthKnown::measured);
    CHECK(deepest.depth == DepthKnown::assumed_deepest);
    CHECK(has_finding(deepest.findings, "assumed_deepest"));
    for (int k = 0; k < 3; ++k) {
      const Shot shot = random_shot(random);
      INFO(shot.fps.per_s() << " fps, 1/" << 1.0 / shot.exposure_s);
      const Recorded known = worst_of(real, shot);
      const Recorded assumed = worst_of(deepest, shot);
      constexpr double frequencies = 0.03;  // two recordings, each with its own clock to follow
      CHECK(known.band_percent <= assumed.band_percent * (1.0 + frequencies) + 0.02);
      CHECK(known.visibility <= assumed.visibility * (1.0 + frequencies) + 0.05);
    }
  }
}

TEST_CASE("a lamp that goes dark is judged as it is, its mean lost or not") {
  const Lamp lamp{[](double t) { return pi / 2.0 * std::abs(std::sin(2 * pi * 60.0 * t)); }, ""};
  const signals::Samples light = recorded(lamp, 3);
  const Light real = light_from(metering::measured(light));
  const Light deepest = light_from(metering::measured(without_mean(light, 8.0)));
  for (const double exposure_s : {1.0 / 50, 1.0 / 100, 1.0 / 250}) {
    const Shot shot{{30, 1}, exposure_s};
    const double known = worst_of(real, shot).band_percent;
    CHECK(worst_of(deepest, shot).band_percent == Approx(known).epsilon(0.05));
  }
  CHECK(worst_of(deepest, {{30, 1}, 1.0 / 60}).verdict == Verdict::clean);
  CHECK(worst_of(deepest, {{30, 1}, 1.0 / 120}).verdict == Verdict::clean);
}

TEST_CASE("a stated corner leaves nothing to allow for") {
  const Lamp lamp{[](double t) {
                    const double cycles = 200.0 * t;
                    return cycles - std::floor(cycles) < 0.4 ? 2.5 : 0.0;
                  },
                  ""};
  const signals::Samples ac = without_mean(recorded(lamp, 4), 15.0);
  MeasurementSettings settings;
  settings.coupling_corner_hz = 15.0;
  settings.upright = true;
  const Light stated = light_from(metering::measured(ac, settings));
  // Fourier: 2 sin(0.4 π)/(0.4 π) of the mean.
  CHECK(stated.components.front().amplitude == Approx(1.5137).epsilon(0.02));
  const Light unstated = light_from(metering::measured(ac));
  CHECK(unstated.components.front().amplitude >= 0.99 * stated.components.front().amplitude);
  CHECK(std::none_of(stated.other_states.begin(), stated.other_states.end(),
                     [](const LightState& s) { return s.worst_case_only; }));
}

TEST_CASE("a fixture without its mean is rated at the deepest it can be, and says so") {
  const Lamp lamp{[](double t) { return 1.0 + 0.3 * std::cos(2 * pi * 120.0 * t); }, ""};
  const Measurement lost = metering::measured(without_mean(recorded(lamp, 5), 5.0));
  const FixtureRating rating = rate_capture(lost, {}, {});
  CHECK(rating.depth_assumed);
  CHECK_FALSE(rating.percent_flicker);
  CHECK(rating.filming.filming == FilmingClass::matched_shutters_only);
  CHECK(has_finding(rating.warnings, "assumed_deepest"));
  CHECK(rate_for_filming(lost));
  CHECK(rate_light(light_from(lost), {}, {}).depth_assumed);
}

TEST_CASE("a recording without mean or rhythm says nothing of a light") {
  const Lamp lamp{[](double) { return 1.0; }, ""};
  const Measurement lost = metering::measured(without_mean(recorded(lamp, 6), 5.0));
  CHECK(lost.deepest.empty());
  CHECK_THROWS_AS(light_from(lost), InputError);
}
