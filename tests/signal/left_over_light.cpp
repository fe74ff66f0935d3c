#include <random>

#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/noises.hpp"

using namespace lampbeat;
using namespace metering;
using signals::sum_of;
using signals::two_pi;

namespace {

using noises::between;
using noises::logarithmic;
using noises::Random;

Measurement measured_with(signals::Samples s, const std::vector<double>& added) {
  for (std::size_t i = 0; i < s.value.size(); ++i) s.value[i] += added[i];
  return measured(s);
}

}  // namespace

TEST_CASE("Irregular light anywhere in the band is found with its size, never steady") {
  Random random(11);
  for (int draw = 0; draw < lampbeat::test::draws(200); ++draw) {
    CAPTURE(draw);
    const double rate_hz = logarithmic(random, 1000, 60000);
    const double seconds = between(random, 0.8, 6);
    const bool slow = draw % 3 == 0;
    const auto s = recording(rate_hz, slow ? seconds + 2 : seconds, sum_of(1, {}),
                             logarithmic(random, 1e-3, 0.01), static_cast<unsigned>(draw));
    const double rms = slow ? 0.2 : 0.1;
    const auto light =
        noises::in_band(random, s.value.size(), rate_hz, slow ? 1 : 20, slow ? 2 : 400, rms);
    const Measurement m = measured_with(s, light);
    CHECK_FALSE(m.steady_below_percent);
    REQUIRE(warns(m, "unexplained_light"));
    CHECK(*m.unexplained_percent > 40 * rms);
    CHECK(*m.unexplained_percent < 150 * rms);
  }
}

// Light that flutters evenly up to a corner looks like a sensor's noise; then the bound on what
// is steady says how much of it there is.
TEST_CASE("Faint irregular light of any band is found, or no less than half its size is promised") {
  Random random(14);
  for (int draw = 0; draw < lampbeat::test::draws(400); ++draw) {
    const double rate_hz = logarithmic(random, 2000, 60000);
    const double from_hz = draw % 4 == 0 ? 0.0 : logarithmic(random, 2, 200);
    const double to_hz =
        std::min(std::max(3 * from_hz, 5.0) * logarithmic(random, 1, 30), 0.45 * rate_hz);
    const double rms = logarithmic(random, 0.003, 0.05);
    auto s = recording(rate_hz, between(random, 2, 5), sum_of(1, {}),
                       rms * logarithmic(random, 0.01, 0.3), static_cast<unsigned>(draw));
    const auto light = noises::in_band(random, s.value.size(), rate_hz, from_hz, to_hz, rms);
    const Measurement m = measured_with(s, light);
    CAPTURE(draw, rate_hz, from_hz, to_hz, rms);
    if (m.unexplained.empty() && m.steady_below_percent) CHECK(*m.steady_below_percent > 50 * rms);
  }
}

TEST_CASE("Steady light stays steady under white and 1/f noise, coarse steps and warming up") {
  Random random(12);
  int changed = 0;
  const int all = lampbeat::test::draws(1000);
  for (int draw = 0; draw < all; ++draw) {
    const double rate_hz = logarithmic(random, 2000, 100000);
    const double seconds = std::min(logarithmic(random, 0.3, 10), 2e5 / rate_hz);
    const double drift = draw % 4 == 0 ? between(random, -0.04, 0.04) : 0.0;
    const auto warming = [=](double t) { return 1 + drift * (1 - std::exp(-t / seconds)); };
    auto s = recording(rate_hz, seconds, warming, logarithmic(random, 1e-4, 0.03),
                       static_cast<unsigned>(draw));
    if (draw % 3 == 0) {
      const auto pink = noises::in_band(random, s.value.size(), rate_hz, 0.01, 1e9,
                                        logarithmic(random, 1e-4, 3e-3), 1.0);
      for (std::size_t i = 0; i < s.value.size(); ++i) s.value[i] += pink[i];
    }
    if (draw % 5 == 0) signals::quantise(s, 2, 8 + draw % 3 * 2);
    if (!measured(s).unexplained.empty()) ++changed;
  }
  CHECK(changed <= 1 + all / 200);
}

TEST_CASE("A slow rhythm is found by the course of the whole capture, alone and under a ripple") {
  const auto square = [](double t) { return std::fmod(2 * t, 1.0) < 0.5 ? 1.5 : 0.5; };
  const Measurement switched = measured(recording(20000, 5, square, 0.003));
  CHECK(*switched.dominant_hz == Approx(2).margin(0.01));
  CHECK(*switched.percent_flicker == Approx(50).margin(1.5));
  const auto dimmed = [](double t) {
    return (1 + 0.2 * std::sin(two_pi * 2 * t)) * (1 + 0.35 * std::sin(two_pi * 100.02 * t));
  };
  // Highest 1.2 · 1.35, lowest 0.8 · 0.65: percent flicker 51.4.
  const Measurement both = measured(recording(20000, 5, dimmed, 0.003));
  CHECK(*both.percent_flicker == Approx(51.4).margin(0.8));
  // Two lamps add: ± 0.2 and ± 0.1 about 1.
  const Measurement added =
      measured(recording(20000, 8, sum_of(1, {{1.3, 0.2, 0}, {100.02, 0.1, 1}}), 0.003));
  CHECK(*added.dominant_hz == Approx(1.3).margin(0.01));
  CHECK(*added.percent_flicker == Approx(30).margin(0.8));
}

TEST_CASE("A few cycles of a switched light give their frequency from the edges, or none") {
  Random random(13);
  lampbeat::test::Coverage frequency;
  for (int draw = 0; draw < lampbeat::test::draws(400); ++draw) {
    CAPTURE(draw);
    const double hz = logarithmic(random, 30, 300);
    const double cycles = between(random, 1, 5);
    const double duty = draw % 2 == 0 ? between(random, 0.02, 0.05) : between(random, 0.95, 0.97);
    const double start = between(random, 0, 1);
    const auto light = [=](double t) { return signals::pulses(hz, duty, start)(t) * 0.98 + 0.02; };
    const Measurement m =
        measured(recording(20000, cycles / hz, light, 0.004, static_cast<unsigned>(draw)));
    CHECK_FALSE(m.steady_below_percent);
    if (m.dominant_hz) {
      CHECK(std::abs(*m.dominant_hz - hz) < 4 * *m.dominant_hz_sd + 1e-9);
      frequency.take(*m.dominant_hz - hz, *m.dominant_hz_sd);
    }
    if (m.percent_flicker) {
      CHECK(*m.percent_flicker == Approx(96.08).margin(2));
    } else {
      CHECK((warns(m, "too_short") || warns(m, "unexplained_light")));
    }
  }
  CHECK(frequency.stated_over_actual() < 6.0);
}

TEST_CASE("Two flashes of two readings are measured, however small their share of the cycle") {
  const Measurement m = measured(recording(1000, 8, signals::pulses(0.2, 0.0004, 0.7001), 1e-4));
  CHECK_FALSE(m.steady_below_percent);
  REQUIRE(m.dominant_hz);
  CHECK(*m.dominant_hz == Approx(0.2).epsilon(0.01));
  CHECK(light_from(m).components.size() > 1);
  CHECK(*m.flicker_index <= 1.0);
}

TEST_CASE("A zero that is wrong by an offset withholds the percentages, a true one keeps 100 %") {
  for (const double off : {-0.3, -0.1, -0.05, -0.02}) {
    CAPTURE(off);
    const auto shifted = [=](double t) { return off + signals::pulses(487.3, 0.3)(t); };
    const Measurement m = measured(recording(20000, 3, shifted, 0.01));
    CHECK_FALSE(m.percent_flicker);
    CHECK((warns(m, "dark_level_unknown") || warns(m, "no_dc_level")));
  }
  const Measurement m = measured(recording(20000, 3, signals::pulses(487.3, 0.3), 0.01));
  CHECK(*m.percent_flicker == Approx(100).margin(0.5));
}

TEST_CASE("A flash or a step in a steady recording is no steady light") {
  const auto flash = [](double t) { return t > 2.3 && t < 2.302 ? 2.0 : 1.0; };
  const auto step = [](double t) { return t < 2.3 ? 1.0 : 0.0; };
  CHECK_FALSE(measured(recording(20000, 5, flash, 0.004)).steady_below_percent);
  CHECK_FALSE(measured(recording(20000, 5, step, 0.004)).steady_below_percent);
}

TEST_CASE("A lone line at the mains itself is offered as hum on the cable first") {
  const Measurement m = measured(recording(20000, 3, sum_of(1, {{50.02, 0.01, 0.3}}), 0.003));
  REQUIRE(finding(m, "uneven_half_cycles"));
  const std::string& words = finding(m, "uneven_half_cycles")->message;
  CHECK(words.find("hum") < words.find("ageing tube"));
}
