#include <cmath>
#include <limits>

#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/metering.hpp"

using namespace lampbeat;
using namespace metering;
using signals::pulses;
using signals::sum_of;
using signals::two_pi;

namespace {

void check_no_percentages(const Measurement& m) {
  CHECK_FALSE(m.percent_flicker);
  CHECK_FALSE(m.flicker_index);
  CHECK_FALSE(m.svm);
  CHECK_FALSE(m.ieee);
  CHECK_FALSE(m.over_time.median_percent_flicker);
  for (const auto& percent : m.lowpass_percent) CHECK_FALSE(percent);
  for (const MeasuredComponent& c : m.components) CHECK_FALSE(c.percent);
}

}  // namespace

TEST_CASE("A recording without its steady level keeps its frequencies and loses its percentages") {
  struct Case {
    const char* name;
    std::function<double(double)> light;
    double noise;
    std::optional<double> hz;
  };
  const Case cases[] = {
      {"sine", sum_of(0, {{100.03, 0.2, 0.3}}), 0.002, 100.03},
      {"sine as weak as the noise", sum_of(0, {{100.03, 0.2, 0.3}}), 0.2, 100.03},
      {"sine on a recorder's small offset", sum_of(0.06, {{100.03, 0.2, 0.3}}), 0.002, 100.03},
      {"short pulses", [](double t) { return pulses(487.3, 0.1)(t) - 0.1; }, 0.002, 487.3},
      {"noise", [](double) { return 0.0; }, 0.01, std::nullopt},
      {"noise on a smaller offset", [](double) { return 0.002; }, 0.01, std::nullopt},
      {"nothing at all", [](double) { return 0.0; }, 0.0, std::nullopt},
  };
  for (const Case& c : cases) {
    CAPTURE(c.name);
    const Measurement m = measured(recording(20000, 3, c.light, c.noise));
    CHECK(warns(m, "no_dc_level"));
    CHECK_FALSE(m.mean);
    check_no_percentages(m);
    REQUIRE(m.dominant_hz.has_value() == c.hz.has_value());
    if (!c.hz) {
      CHECK_THROWS_AS(light_from(m), InputError);
      continue;
    }
    CHECK(*m.dominant_hz == Approx(*c.hz).margin(0.01));
    // No mean to relate it to, but how deep it is at most.
    const Light deepest = light_from(m);
    CHECK(deepest.depth == DepthKnown::assumed_deepest);
    CHECK(lampbeat::test::has_finding(deepest.findings, "assumed_deepest"));
    CHECK(deepest.components.front().amplitude >= 0.99);
  }
}

TEST_CASE("Short flashes in the dark are a light, however small their mean") {
  const Measurement m = measured(recording(20000, 3, pulses(100.03, 0.02), 0.002));
  CHECK_FALSE(warns(m, "no_dc_level"));
  REQUIRE(m.percent_flicker);
  CHECK(*m.percent_flicker == Approx(100).margin(0.5));
}

TEST_CASE("A signal below zero all along is called upside down, not steady") {
  for (const double ripple : {0.0, 0.2}) {
    const Measurement m = measured(recording(20000, 2, sum_of(-1, {{100, ripple, 0}}), 0.001));
    REQUIRE(finding(m, "dark_level_unknown"));
    CHECK(finding(m, "dark_level_unknown")->message.find("upside down") != std::string::npos);
    CHECK_FALSE(m.mean);
    check_no_percentages(m);
  }
}

TEST_CASE("The covered sensor's reading is taken off the level") {
  MeasurementSettings settings;
  settings.dark_level = 0.5;
  const Measurement m =
      measured(recording(20000, 3, sum_of(1.5, {{100.02, 0.2, 0}}), 0.01), settings);
  CHECK(*m.percent_flicker == Approx(20).margin(0.2));
  CHECK(*m.mean == Approx(1).margin(0.001));
  CHECK_FALSE(warns(m, "dark_level_unknown"));
}

TEST_CASE("A given mean turns an AC-coupled recording into figures, its corner undone") {
  MeasurementSettings settings;
  settings.mean_level = 1.0;
  const Measurement plain =
      measured(recording(20000, 3, sum_of(0, {{100, 0.2, 0.3}}), 0.002), settings);
  CHECK(*plain.percent_flicker == Approx(20).margin(0.1));
  CHECK(*plain.flicker_index == Approx(0.2 / 3.14159265).margin(0.001));

  // First-order high-pass at 20 Hz: gain 1/sqrt(1 + (20/f)²), lead atan(20/f) (textbook RC).
  const auto passed = [](double hz, double amplitude, double phase) {
    return signals::Wave{hz, amplitude / std::hypot(1, 20 / hz), phase + std::atan(20 / hz)};
  };
  settings.coupling_corner_hz = 20.0;
  const Measurement undone =
      measured(recording(20000, 3, sum_of(0, {passed(100, 0.2, 0.3), passed(200, 0.05, 1)}), 0.002),
               settings);
  const Measurement known =
      measured(recording(20000, 3, sum_of(1, {{100, 0.2, 0.3}, {200, 0.05, 1}}), 0.002));
  CHECK(*undone.percent_flicker == Approx(*known.percent_flicker).margin(0.05));
  CHECK(*undone.flicker_index == Approx(*known.flicker_index).margin(0.0005));
  CHECK(undone.components[0].phase_deg == Approx(known.components[0].phase_deg).margin(0.1));
}

TEST_CASE("A sensor's bandwidth is undone on the samples") {
  // First-order low-pass at 500 Hz: gain 1/sqrt(1 + (f/500)²), lag atan(f/500) (textbook RC).
  std::vector<signals::Wave> light = {{120, 0.2, 0}, {240, 0.1, 0}, {360, 0.07, 0}};
  std::vector<signals::Wave> seen = light;
  for (signals::Wave& w : seen) {
    w.amplitude /= std::hypot(1, w.hz / 500);
    w.phase_rad -= std::atan(w.hz / 500);
  }
  MeasurementSettings settings;
  settings.sensor_corner_hz = 500.0;
  const Measurement undone = measured(recording(20000, 3, sum_of(1, seen), 0.002), settings);
  const Measurement known = measured(recording(20000, 3, sum_of(1, light), 0.002));
  CHECK(*undone.percent_flicker == Approx(*known.percent_flicker).margin(0.05));
  CHECK(*undone.svm == Approx(*known.svm).epsilon(0.002));
}

TEST_CASE("A recorder too slow for mains light says nothing about its rhythm") {
  for (const double rate_hz : {10.0, 100.0, 190.0}) {
    CAPTURE(rate_hz);
    const Measurement m = measured(recording(rate_hz, 60, sum_of(1, {{100.01, 0.2, 0}}), 0.01));
    CHECK(warns(m, "rate_too_low"));
    CHECK_FALSE(m.dominant_hz);
    CHECK_FALSE(m.mains_hz);
    CHECK_FALSE(m.steady_below_percent);
    CHECK(m.components.empty());
    check_no_percentages(m);
    // Nothing known is not the same as steady.
    CHECK_THROWS_AS(light_from(m), InputError);
  }
}

TEST_CASE("Few samples a cycle are said, too few withhold the extremes") {
  const Measurement few = measured(recording(900, 3, sum_of(1, {{100.01, 0.2, 0}}), 0.01));
  CHECK(warns(few, "rate_too_low"));
  CHECK(*few.percent_flicker == Approx(20).margin(0.2));
  const Measurement too_few = measured(recording(1200, 3, pulses(487.3, 0.3), 0.01));
  CHECK(warns(too_few, "rate_too_low"));
  CHECK(warns(too_few, "alias_suspected"));
  CHECK_FALSE(too_few.percent_flicker);
}

TEST_CASE("A cut-off above half the sampling rate leaves the lower ones standing") {
  const Measurement m = measured(recording(1500, 3, sum_of(1, {{100, 0.2, 0}}), 0.001));
  CHECK(m.lowpass_percent[Ja10CutOff::at_200_hz]);
  CHECK_FALSE(m.lowpass_percent[Ja10CutOff::at_1000_hz]);
}

TEST_CASE("Too few cycles give no figures; a few give figures with a warning") {
  const auto light = sum_of(1, {{100.03, 0.2, 0.4}});
  for (const double seconds : {0.01, 0.025}) {
    const Measurement m = measured(recording(20000, seconds, light, 0.01));
    CHECK(warns(m, "too_short"));
    CHECK_FALSE(m.steady_below_percent);
    CHECK_FALSE(m.noise_percent);
    check_no_percentages(m);
    CHECK_THROWS_AS(light_from(m), InputError);
  }
  for (const double seconds : {0.06, 0.3, 0.5}) {
    const Measurement m = measured(recording(20000, seconds, light, 0.01));
    CHECK(warns(m, "too_short"));
    CHECK(*m.percent_flicker == Approx(20).margin(0.5));
    CHECK(*m.dominant_hz == Approx(100.03).margin(4.0 * *m.dominant_hz_sd));
    // Cramér-Rao bound of a lone sinusoid: √(6 / N) σ / (π A T) (any text on estimation).
    const double bound_hz =
        std::sqrt(6.0 / (20000 * seconds)) * 0.01 / (0.5 * two_pi * 0.2 * seconds);
    CHECK(*m.dominant_hz_sd < 5.0 * bound_hz);
  }
}

TEST_CASE("Steady light has a bound instead of a random peak") {
  for (unsigned seed = 1; seed <= 200; ++seed) {
    CAPTURE(seed);
    const Measurement m = measured(recording(
        2000, 3, [](double) { return 1.0; }, 0.01, seed));
    REQUIRE_FALSE(m.percent_flicker);
    REQUIRE_FALSE(m.dominant_hz);
    REQUIRE(warns(m, "no_periodic_flicker"));
    REQUIRE_FALSE(warns(m, "states_differ"));
    // The largest of a thousand spectral lines of noise stands near sqrt(ln 1000) times the mean
    // line, sigma · sqrt(4/n) · 2.6 = 0.12 %; the bound must lie above that and be of that order.
    REQUIRE(*m.steady_below_percent > 0.12);
    REQUIRE(*m.steady_below_percent < 0.6);
  }
}

TEST_CASE("Readings that are all alike prove no steady light") {
  for (const double level : {1023.0, 0.7, 1e30, 1e-30}) {
    CAPTURE(level);
    const Measurement m = measured(recording(
        2000, 3, [&](double) { return level; }, 0.0, 1));
    CHECK(*m.percent_flicker_raw == 0.0);
    CHECK(warns(m, "one_reading"));
    CHECK_FALSE(m.steady_below_percent);
    check_no_percentages(m);
    CHECK_THROWS_AS(light_from(m), InputError);
  }
}

TEST_CASE("A ripple at the floor is either found or covered by the bound") {
  for (const double amplitude : {0.001, 0.002, 0.005}) {
    for (unsigned seed = 1; seed <= 5; ++seed) {
      const Measurement m =
          measured(recording(20000, 3, sum_of(1, {{100.02, amplitude, 0.3}}), 0.01, seed));
      CHECK_FALSE(warns(m, "states_differ"));
      if (m.steady_below_percent) {
        CHECK(*m.steady_below_percent >= 99.0 * amplitude);
      } else {
        CHECK(*m.dominant_hz == Approx(100.02).margin(0.1));
      }
    }
  }
}

TEST_CASE("Readings no sensor gives are refused, two samples are not") {
  for (const double level : {1e300, 1e-300}) {
    CHECK_THROWS_AS(
        measured(recording(20000, 2, [=](double t) { return level * (1 + 0.2 * std::sin(t)); })),
        InputError);
  }
  CHECK_THROWS_AS(measured(recording(1, 1, [](double) { return 1.0; })), InputError);
  const Measurement two = measured(recording(2, 1, [](double t) { return 1.0 + t; }));
  CHECK(warns(two, "too_short"));
  check_no_percentages(two);
}

TEST_CASE("The doubt about the dark level comes last, and no other where there is none") {
  const Measurement m = measured(recording(48000, 3, sum_of(1, {{100.03, 0.2, 0}}), 0.002));
  REQUIRE(m.warnings.size() == 1);
  CHECK(m.warnings.back().code == "dark_level_unknown");
}

TEST_CASE("Levels and corners that cannot be are refused") {
  const auto s = recording(20000, 1, sum_of(0, {{100, 0.2, 0}}));
  for (const double wrong : {0.0, -1.0, std::numeric_limits<double>::infinity()}) {
    MeasurementSettings settings;
    settings.mean_level = wrong;
    CHECK_THROWS_AS(measured(s, settings), UsageError);
    settings = {};
    settings.sensor_corner_hz = wrong;
    CHECK_THROWS_AS(measured(s, settings), UsageError);
    settings = {};
    settings.coupling_corner_hz = wrong;
    CHECK_THROWS_AS(measured(s, settings), UsageError);
  }
}

TEST_CASE("A coarse converter's step is part of the uncertainty") {
  auto s = recording(20000, 3, sum_of(1, {{100.02, 0.01, 0}}));
  signals::quantise(s, 4, 8);
  const Measurement m = measured(s);
  CHECK(std::abs(*m.percent_flicker - 1.0) < 3.0 * *m.percent_flicker_sd);
  CHECK(*m.percent_flicker_sd < 100.0 * 0.5 * 4 / 256);  // half a step
}
