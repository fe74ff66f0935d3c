// A recording with the sensor covered tells hum and noise from light. Hum of the cable is the mains
// itself and its multiples, in both recordings as strong, in no known phase (common practice, no
// source). Figures of the light: 100 m % for 1 + m cos.

#include <cmath>
#include <random>

#include "lampbeat/dark_recording.hpp"
#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/noises.hpp"

using namespace lampbeat;
using namespace metering;
using noises::between;
using noises::logarithmic;
using signals::two_pi;

namespace {

struct Cable {
  double mains_hz = 50.0;
  double hum = 0.0;  ///< amplitude at the mains, of the lamp's mean
  double noise = 0.0;
};

DarkRecording covered(const Cable& cable, double rate_hz, double seconds, unsigned seed) {
  const auto s = recording(
      rate_hz, seconds,
      [&](double t) { return 0.02 + cable.hum * std::cos(two_pi * cable.mains_hz * t + 1.0); },
      cable.noise, seed);
  return dark_recording(*capture_from_samples("covered", s.value, rate_hz));
}

Measurement lit(const Cable& cable, double ripple, double rate_hz, double seconds, unsigned seed,
                double phase, const std::optional<DarkRecording>& dark) {
  const auto s = recording(
      rate_hz, seconds,
      [&](double t) {
        return 1.02 + ripple * std::cos(two_pi * 2.0 * cable.mains_hz * t) +
               cable.hum * std::cos(two_pi * cable.mains_hz * t + phase);
      },
      cable.noise, seed);
  MeasurementSettings settings;
  settings.dark_level = 0.02;
  settings.dark = dark;
  return measured(s, settings);
}

}  // namespace

TEST_CASE("Hum that the covered sensor gives as well is no light of a steady lamp") {
  noises::Random random(50);
  const int all = lampbeat::test::draws(100);
  int steady = 0;
  for (int draw = 0; draw < all; ++draw) {
    Cable cable{(random() % 2 ? 50.0 : 60.0) * between(random, 0.998, 1.002),
                logarithmic(random, 0.002, 0.05), logarithmic(random, 3e-4, 5e-3)};
    const double rate_hz = logarithmic(random, 4000, 40000);
    const auto seed = static_cast<unsigned>(2 * draw + 1);
    const DarkRecording dark = covered(cable, rate_hz, 4, seed);
    CAPTURE(draw, cable.mains_hz, cable.hum, cable.noise, rate_hz);
    REQUIRE_FALSE(dark.lines.empty());
    CHECK(dark.level == Approx(0.02).margin(0.001));
    CHECK(dark.lines.front().amplitude == Approx(cable.hum).epsilon(0.1));
    cable.mains_hz *= between(random, 0.999, 1.001);
    const Measurement m = lit(cable, 0.0, rate_hz, 4, seed + 1, between(random, 0, two_pi), dark);
    CHECK(warns(m, "hum_taken_out"));
    CHECK_FALSE(m.percent_flicker);
    if (!m.steady_below_percent) continue;
    ++steady;
    // The lamp's own part may be opposed to the hum: nothing below their sum is known.
    CHECK(*m.steady_below_percent >= 190.0 * cable.hum);
    CHECK(*m.steady_below_percent <= 250.0 * cable.hum + 1.0);
    const Measurement without = lit(cable, 0.0, rate_hz, 4, seed + 1, 0.3, std::nullopt);
    CHECK_FALSE(without.steady_below_percent);
    REQUIRE(warns(without, "uneven_half_cycles"));
    CHECK(finding(without, "uneven_half_cycles")->message.find("hum") <
          finding(without, "uneven_half_cycles")->message.find("ageing tube"));
  }
  CHECK(steady >= 0.95 * all);
}

TEST_CASE("A lamp's own ripple stays beside the hum, however they meet") {
  noises::Random random(51);
  lampbeat::test::Coverage flicker;
  for (int draw = 0; draw < lampbeat::test::draws(100); ++draw) {
    const Cable cable{(random() % 2 ? 50.0 : 60.0) * between(random, 0.998, 1.002),
                      logarithmic(random, 0.002, 0.05), logarithmic(random, 3e-4, 5e-3)};
    const double rate_hz = logarithmic(random, 4000, 40000);
    const double ripple = logarithmic(random, 0.03, 0.6);
    const auto seed = static_cast<unsigned>(2 * draw + 1);
    CAPTURE(draw, cable.mains_hz, cable.hum, cable.noise, ripple, rate_hz);
    const Measurement m = lit(cable, ripple, rate_hz, 4, seed + 1, between(random, 0, two_pi),
                              covered(cable, rate_hz, 4, seed));
    CHECK(warns(m, "hum_taken_out"));
    REQUIRE(m.percent_flicker);
    CHECK(*m.percent_flicker ==
          Approx(100 * ripple).margin(3.3 * m.percent_flicker_sd.value() + 0.05));
    CHECK(*m.dominant_hz == Approx(2 * cable.mains_hz).epsilon(1e-3));
    flicker.take(*m.percent_flicker - 100 * ripple, *m.percent_flicker_sd);
  }
  CHECK(flicker.stated_over_actual() < 3.0);
}

TEST_CASE("A dark recording makes no deep lamp clean") {
  noises::Random random(52);
  for (int draw = 0; draw < lampbeat::test::draws(60); ++draw) {
    // The lamp itself beats at the mains, more deeply than the cable hums.
    const Cable cable{50.0, logarithmic(random, 0.002, 0.05), 1e-3};
    const DarkRecording dark = covered(cable, 10000, 3, 7);
    const double own = cable.hum * between(random, 0.0, 6.0);
    const double phase = between(random, 0, two_pi);
    const auto s = recording(
        10000, 3,
        [&](double t) {
          return 1.02 + own * std::cos(two_pi * 50.0 * t) +
                 cable.hum * std::cos(two_pi * 50.0 * t + phase);
        },
        1e-3, 9);
    MeasurementSettings settings;
    settings.dark_level = 0.02;
    settings.dark = dark;
    const Measurement m = measured(s, settings);
    CAPTURE(draw, cable.hum, own, phase);
    if (m.steady_below_percent) {
      CHECK(100 * own <= 1.02 * *m.steady_below_percent + 0.1);
    } else if (m.percent_flicker) {
      CHECK(*m.percent_flicker + 3.3 * m.percent_flicker_sd.value() + 0.2 >= 100 * own);
    }
  }
}

TEST_CASE("Noise of any colour that the covered sensor gives as well is no light") {
  noises::Random random(53);
  const int all = lampbeat::test::draws(60);
  int doubted = 0;
  int seen_without = 0;
  for (int draw = 0; draw < all; ++draw) {
    const double rate_hz = logarithmic(random, 4000, 20000);
    const double from_hz = logarithmic(random, 10, 300);
    const double to_hz = from_hz * logarithmic(random, 2, 6);
    const double rms = logarithmic(random, 0.002, 0.01);
    const auto with_noise = [&](double level, unsigned seed) {
      signals::Samples s = recording(
          rate_hz, 5, [&](double) { return level; }, 0.001, seed);
      noises::add(s, noises::in_band(random, s.value.size(), rate_hz, from_hz, to_hz, rms));
      return s;
    };
    const signals::Samples covered = with_noise(0.02, 1);
    const signals::Samples lamp = with_noise(1.02, 2);
    MeasurementSettings settings;
    settings.dark_level = 0.02;
    CAPTURE(draw, rate_hz, from_hz, to_hz, rms);
    seen_without += warns(measured(lamp, settings), "unexplained_light");
    settings.dark = dark_recording(*capture_from_samples("covered", covered.value, rate_hz));
    doubted += warns(measured(lamp, settings), "unexplained_light");
    // And twice as much of it is light.
    signals::Samples more = lamp;
    noises::add(more, noises::in_band(random, more.value.size(), rate_hz, from_hz, to_hz, 3 * rms));
    const Measurement m = measured(more, settings);
    CHECK_FALSE(m.steady_below_percent);
  }
  CHECK(seen_without >= 0.5 * all);
  CHECK(doubted <= 0.05 * all + 1);
}
