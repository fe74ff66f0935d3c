#include <cmath>
#include <random>

#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/noises.hpp"

using namespace lampbeat;
using namespace metering;
using signals::pulses;
using signals::sum_of;
using signals::two_pi;

TEST_CASE("A lamp warming up keeps its figures and is told to settle") {
  const Measurement m = measured(recording(
      20000, 10,
      [](double t) {
        return (1 - 0.3 * std::exp(-t / 4)) * (1 + 0.2 * std::cos(two_pi * 100.02 * t));
      },
      0.01));
  CHECK(warns(m, "level_drift"));
  CHECK_FALSE(warns(m, "states_differ"));
  CHECK(*m.percent_flicker == Approx(20).margin(0.35));
  CHECK(*m.flicker_index == Approx(0.2 / 3.14159265).margin(0.004));
  // Only the drift within one second remains in the low-pass figures, not that of the capture.
  CHECK(*m.lowpass_percent[Ja10CutOff::at_200_hz] < 25);
}

TEST_CASE("Noise on the level is no drift") {
  const Measurement m = measured(recording(2000, 20, sum_of(1, {{100, 0.3, 0}}), 0.3));
  CHECK_FALSE(warns(m, "level_drift"));
}

TEST_CASE("A dimmer moved during the capture gives two states, and the figures of the worse one") {
  const auto before = sum_of(1, {{100.02, 0.2, 0}});
  const auto after = sum_of(1, {{100.02, 0.5, 0}});
  for (const double moved_s : {4.0, 6.4, 1.5, 9.4, 0.6}) {
    CAPTURE(moved_s);
    const Measurement m = measured(recording(
        20000, 10, [&](double t) { return t < moved_s ? before(t) : after(t); }, 0.01));
    REQUIRE(warns(m, "states_differ"));
    CHECK(*m.percent_flicker == Approx(50).margin(0.35));
    REQUIRE(m.components.front().percent);
    CHECK(*m.components.front().percent == Approx(50).margin(0.35));
    REQUIRE(m.states.size() == 2);
    CHECK(*m.states[0].percent_flicker == Approx(20).margin(0.35));
    CHECK(m.states[1].shown);
    // To a block of a twentieth of a second, which is left out.
    CHECK(std::abs(m.states[0].to_s - moved_s) <= 0.13);
    CHECK(std::abs(m.states[1].from_s - moved_s) <= 0.13);
  }
}

TEST_CASE("Dimming a light to half its level without another rhythm is only a drift") {
  const Measurement m = measured(recording(
      20000, 6,
      [](double t) { return (t < 3.0 ? 1.0 : 0.5) * (1 + 0.2 * std::cos(two_pi * 100.02 * t)); },
      0.002));
  CHECK(warns(m, "level_drift"));
  CHECK_FALSE(warns(m, "states_differ"));
  CHECK(*m.percent_flicker == Approx(20).margin(0.35));
}

TEST_CASE("Phases are those at the capture's first sample, also of what came later") {
  const double phase = 0.8;
  const Measurement m = measured(recording(
      20000, 8,
      [&](double t) { return t < 2.5 ? 1.0 : 1 + 0.3 * std::cos(two_pi * 100.02 * t + phase); },
      0.005));
  CHECK(warns(m, "states_differ"));
  CHECK(*m.percent_flicker == Approx(30).margin(0.35));
  CHECK(m.components.front().phase_deg == Approx(phase * 180 / 3.14159265).margin(2.0));
}

TEST_CASE("Unequal half cycles are found at the mains frequency itself") {
  const Measurement m =
      measured(recording(20000, 3, sum_of(1, {{120.06, 0.2, 0}, {60.03, 0.01, 1}}), 0.01));
  CHECK(warns(m, "uneven_half_cycles"));
  CHECK(*m.mains_hz == Approx(60.03).margin(0.004));
  REQUIRE(m.components.size() == 2);
  CHECK(m.components[0].mains_order == 2);
  CHECK(m.components[1].mains_order == 1);
  CHECK(*m.components[1].percent == Approx(1).margin(0.1));
}

TEST_CASE("Two unrelated rhythms count with every combination of their phases") {
  const auto ripple = sum_of(1, {{100.02, 0.2, 0}});
  const Measurement added = measured(recording(
      20000, 3, [&](double t) { return ripple(t) + 0.3 * (pulses(487.3, 0.3)(t) - 0.3); }, 0.01));
  // Highest 1 + 0.2 + 0.21, lowest 1 - 0.2 - 0.09.
  CHECK(*added.percent_flicker == Approx(100 * 0.7 / 2.12).margin(0.5));
  CHECK(warns(added, "several_rhythms"));
  const Measurement multiplied = measured(recording(
      20000, 3, [&](double t) { return ripple(t) * (0.4 + 0.6 * pulses(487.3, 0.3)(t)); }, 0.01));
  // Highest 1.2, lowest 0.8 · 0.4.
  CHECK(*multiplied.percent_flicker == Approx(100 * 0.88 / 1.52).margin(0.5));
  CHECK(*added.mains_hz == Approx(50.01).margin(0.002));
  CHECK(*multiplied.mains_hz == Approx(50.01).margin(0.002));
}

TEST_CASE("A third rhythm's share is told; a trace of one is no second rhythm") {
  const Measurement three = measured(
      recording(20000, 3, sum_of(1, {{100.02, 0.2, 0}, {487.3, 0.1, 0}, {731.7, 0.08, 1}}), 0.01));
  REQUIRE(finding(three, "several_rhythms"));
  CHECK(finding(three, "several_rhythms")->message.find("8.0 points") != std::string::npos);
  const Measurement trace =
      measured(recording(20000, 3, sum_of(1, {{100.02, 0.2, 0}, {487.3, 0.0006, 0}}), 0.001));
  CHECK_FALSE(warns(trace, "several_rhythms"));
  CHECK(trace.components.size() == 2);
}

TEST_CASE("Mains that wanders over a minute is told, with an uncertainty that covers it") {
  const auto phase = [](double t) {
    return two_pi * (100.02 * t + 0.1 * 35 / two_pi * (1 - std::cos(two_pi * t / 35)));
  };
  const Measurement m = measured(recording(
      4000, 60, [&](double t) { return 1 + 0.2 * std::cos(phase(t)); }, 0.01));
  CHECK(warns(m, "frequency_wanders"));
  CHECK_FALSE(warns(m, "states_differ"));
  const double mean_hz = phase(60.0) / two_pi / 60.0;
  CHECK(*m.dominant_hz == Approx(mean_hz).margin(2.0 * *m.dominant_hz_sd));
  CHECK(*m.dominant_hz_sd < 0.1);
  CHECK(*m.percent_flicker == Approx(20).margin(0.35));
}

TEST_CASE("A dimmer's clock that wanders is told with its size, and judged by it afterwards") {
  // Frequency f0 (1 + x), x drifting as a random walk that is drawn back in `slowness_s` seconds.
  noises::Random random(77);
  const int all = lampbeat::test::draws(30);
  int told = 0;
  int drawn = 0;
  for (int draw = 0; draw < all; ++draw) {
    const double hz = noises::logarithmic(random, 150, 3000);
    const double spread = noises::logarithmic(random, 3e-4, 0.02);
    const double slowness_s = noises::logarithmic(random, 4, 30);
    const double seconds = noises::between(random, 8, 15);
    const double duty = noises::between(random, 0.2, 0.8);
    const bool pulsed = random() % 2;
    constexpr double rate_hz = 12000.0;
    std::normal_distribution<double> normal;
    double x = spread * normal(random);
    double turns = 0.0;
    double sum = 0.0;
    double squares = 0.0;
    signals::Samples s = signals::even_times(rate_hz, seconds);
    for (double& value : s.value) {
      x += -x / (slowness_s * rate_hz) +
           spread * std::sqrt(2 / (slowness_s * rate_hz)) * normal(random);
      sum += x;
      squares += x * x;
      turns += hz * (1 + x) / rate_hz;
      const double phase = turns - std::floor(turns);
      value = (pulsed ? (phase < duty ? 1.0 : 0.4) : 1 + 0.3 * std::sin(two_pi * phase)) +
              0.003 * normal(random);
    }
    const auto n = static_cast<double>(s.value.size());
    const double strayed = 100 * std::sqrt(squares / n - sum * sum / n / n);
    const Measurement m = measured(s);
    if (strayed < 0.02) continue;
    ++drawn;
    if (!warns(m, "clock_wanders")) continue;
    ++told;
    CAPTURE(draw, hz, spread, strayed);
    CHECK(m.clock_spread_percent.value() > 0.3 * strayed);
    CHECK(m.clock_spread_percent.value() < 4.0 * strayed + 0.1);
    if (m.mean) CHECK(light_from(m).clock_spread_percent == *m.clock_spread_percent);
  }
  CHECK(told >= 0.8 * drawn);
  CHECK(drawn > 0);
}

TEST_CASE("A clock that stands still is not said to wander, and two lamps are no wandering one") {
  noises::Random random(78);
  for (int draw = 0; draw < lampbeat::test::draws(100); ++draw) {
    const double hz = noises::logarithmic(random, 130, 2500);
    const double other = draw % 2 ? hz
                                  : hz * (draw % 4 ? noises::between(random, 0.9, 0.98)
                                                   : noises::between(random, 1.02, 1.1));
    const double change_s = noises::between(random, 2, 4);
    const Measurement m = measured(recording(
        15000, 6,
        [&](double t) { return 1 + 0.3 * std::cos(two_pi * (t < change_s ? hz : other) * t); },
        noises::logarithmic(random, 1e-4, 1e-2), static_cast<unsigned>(draw + 1)));
    CAPTURE(draw, hz, other);
    CHECK_FALSE(warns(m, "clock_wanders"));
  }
}

TEST_CASE("A few cycles of a switched light have its figures, however they are cut") {
  // 100 (1 − low)/(1 + low) for a light between low and 1.
  noises::Random random(58);
  const int all = lampbeat::test::draws(300);
  int given = 0;
  lampbeat::test::Coverage flicker, frequency;
  for (int draw = 0; draw < all; ++draw) {
    const double hz = noises::logarithmic(random, 30, 400);
    const double duty = noises::between(random, 0.02, 0.98);
    const double low = random() % 2 ? 0.0 : noises::between(random, 0.0, 0.9);
    const double phase = noises::between(random, 0, 1);
    const double cycles = noises::between(random, 3, 8);
    const double rate_hz = noises::logarithmic(random, 5000, 100000);
    const Measurement m = measured(recording(
        rate_hz, cycles / hz,
        [&](double t) {
          const double turns = hz * t + phase;
          return turns - std::floor(turns) < duty ? 1.0 : low;
        },
        noises::logarithmic(random, 2e-4, 1e-2), static_cast<unsigned>(draw + 1)));
    CAPTURE(draw, hz, duty, low, cycles, rate_hz);
    CHECK_FALSE(m.steady_below_percent);
    CHECK_FALSE(warns(m, "several_rhythms"));
    if (!m.percent_flicker) continue;
    ++given;
    flicker.take(*m.percent_flicker - 100 * (1 - low) / (1 + low),
                 m.percent_flicker_sd.value_or(0.0));
    frequency.take(*m.dominant_hz / std::round(*m.dominant_hz / hz) - hz,
                   m.dominant_hz_sd.value_or(0.0));
    CHECK(
        *m.percent_flicker ==
        Approx(100 * (1 - low) / (1 + low)).margin(3.3 * m.percent_flicker_sd.value_or(0.0) + 0.3));
    CHECK(*m.dominant_hz / std::round(*m.dominant_hz / hz) ==
          Approx(hz).margin(3.3 * m.dominant_hz_sd.value_or(0.0) + 0.02 * hz));
  }
  CHECK(flicker.stated_over_actual() < 4.0);
  CHECK(frequency.stated_over_actual() < 8.0);
  CHECK(given >= 0.93 * all);
}
