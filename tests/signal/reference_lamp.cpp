#include "lampbeat/reference_lamp.hpp"

#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/error.hpp"
#include "lampbeat/meter.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"

// A lamp of known percent flicker, recorded without its level, gives the level.

using namespace lampbeat;
using lampbeat::test::between;
using lampbeat::test::draws;

namespace {

constexpr double pi = std::numbers::pi;

CaptureOpener opener(const signals::Samples& s) {
  return [&s] { return capture_from_samples("reference", s.value, 1.0 / s.interval_s); };
}

/// Level removed, as by a coupling with a corner far below the light.
signals::Samples without_level(const std::function<double(double)>& light, double level,
                               double noise, unsigned seed) {
  signals::Samples s = metering::recording(20000.0, 2.0, light, noise, seed);
  for (double& x : s.value) x -= level;
  return s;
}

}  // namespace

TEST_CASE("the swing of a lamp of known percent flicker gives its mean") {
  std::mt19937 random(1331);
  for (int i = 0; i < draws(60); ++i) {
    const double mean = between(random, 0.01, 2.0);
    const double depth = between(random, 0.05, 1.0);
    const bool sharp = i % 2 == 0;
    // |sin| of mean 2/π on a pedestal: extremes 1 − d and 1 − d + d π/2 of the mean.
    const auto light = [&](double t_s) {
      return mean * (sharp
                         ? 1.0 - depth + depth * pi / 2.0 * std::abs(std::sin(2 * pi * 60.0 * t_s))
                         : 1.0 + depth * std::cos(2 * pi * 120.0 * t_s));
    };
    const double high = sharp ? 1.0 - depth + depth * pi / 2.0 : 1.0 + depth;
    const double low = 1.0 - depth;
    const double percent = 100.0 * (high - low) / (high + low);
    const signals::Samples s =
        without_level(light, mean, 0.002 * mean, 40 + static_cast<unsigned>(i));
    MeasurementSettings settings;
    settings.coupling_corner_hz = 0.01;
    const KnownMean known = mean_by_percent(opener(s), percent, settings);
    INFO(i << ": depth " << depth << ", mean " << mean);
    CHECK(known.level == Approx(mean).epsilon(0.02));
    CHECK(std::abs(known.level - mean) <= 5.0 * known.sd + 1e-3 * mean);
  }
}

TEST_CASE("an unknown coupling is part of what the reference's mean is uncertain by") {
  const auto light = [](double t_s) {
    const double cycles = 100.0 * t_s;
    return cycles - std::floor(cycles) < 0.5 ? 1.4 : 0.6;
  };
  const signals::Samples s = without_level(light, 1.0, 0.001, 3);
  MeasurementSettings known;
  known.coupling_corner_hz = 0.01;
  CHECK(mean_by_percent(opener(s), 40.0, {}).sd > 2.0 * mean_by_percent(opener(s), 40.0, known).sd);
}

TEST_CASE("the mean's uncertainty reaches percent flicker and the components") {
  const auto light = [](double t_s) { return 1.0 + 0.3 * std::cos(2 * pi * 120.0 * t_s); };
  const signals::Samples s = without_level(light, 1.0, 0.001, 4);
  MeasurementSettings settings;
  settings.mean_level = 1.0;
  settings.coupling_corner_hz = 0.01;
  settings.upright = true;
  const Measurement sure = metering::measured(s, settings);
  settings.mean_level_sd = 0.1;
  const Measurement unsure = metering::measured(s, settings);
  // 30 % of a mean that is off by a tenth.
  CHECK(*sure.percent_flicker_sd < 0.2);
  CHECK(*unsure.percent_flicker_sd == Approx(3.0).epsilon(0.05));
  CHECK(*unsure.flicker_index_sd == Approx(0.1 * *unsure.flicker_index).epsilon(0.05));
  CHECK(*unsure.components.front().percent_sd == Approx(3.0).epsilon(0.05));
}

TEST_CASE("a reference without a rhythm, or of no percentage, is refused") {
  const signals::Samples steady = without_level([](double) { return 1.0; }, 1.0, 0.001, 5);
  const signals::Samples dead = without_level([](double) { return 1.0; }, 1.0, 0.0, 5);
  CHECK_THROWS_AS(mean_by_percent(opener(steady), 10.0, {}), InputError);
  CHECK_THROWS_AS(mean_by_percent(opener(dead), 10.0, {}), InputError);
  for (const double percent : {0.0, -5.0, 101.0}) {
    CHECK_THROWS_AS(mean_by_percent(opener(steady), percent, {}), UsageError);
  }
}
