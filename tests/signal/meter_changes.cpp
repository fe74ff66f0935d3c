#include <cmath>

#include "support/catch.hpp"
#include "support/metering.hpp"

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
  CHECK(*m.lowpass_percent[2] < 25);
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

TEST_CASE("Dimming a PWM light to half its level without another rhythm is only a drift") {
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
