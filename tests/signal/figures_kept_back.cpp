// Numbers that nobody should be told: false precision, one stray sample's swing, light beyond 100
// %.

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <random>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"

using namespace lampbeat;
using namespace lampbeat::test;
using metering::measured;
using metering::recording;

TEST_CASE("ripple of half a code is known to no better than the code") {
  std::mt19937 random(41);
  for (int i = 0; i < draws(100); ++i) {
    const double level = between(random, 20.0, 200.0);
    const double ripple = between(random, 0.2, 0.6);
    const double hz = between(random, 95.0, 125.0);
    signals::Samples s =
        recording(10000.0, 3.0, signals::sum_of(level, {{hz, ripple, between(random, 0.0, 6.28)}}));
    for (double& x : s.value) x = std::round(x);
    const Measurement m = measured(s);
    INFO(level << " codes, rippling by " << ripple << " at " << hz << " Hz");
    if (!m.percent_flicker) continue;
    CHECK(std::abs(*m.percent_flicker - 100.0 * ripple / level) < 3.0 * *m.percent_flicker_sd);
    if (m.flicker_index) {
      CHECK(std::abs(*m.flicker_index - ripple / level / 3.14159265) < 3.0 * *m.flicker_index_sd);
    }
  }
}

TEST_CASE("the noise of a switched light is that of its samples") {
  std::mt19937 random(42);
  for (int i = 0; i < draws(60); ++i) {
    const double hz = logarithmic(random, 100.0, 2000.0);
    const double duty = between(random, 0.05, 0.9);
    const double rate_hz = hz * between(random, 20.0, 60.0);
    const auto light = signals::pulses(hz, duty, between(random, 0.0, 1.0));
    const Measurement m =
        measured(recording(rate_hz, std::max(2.0, 1000.0 / hz), light, 0.003 * duty, 7));
    INFO(hz << " Hz of duty " << duty << " at " << rate_hz);
    REQUIRE(m.noise_percent);
    CHECK(*m.noise_percent > 0.2);
    CHECK(*m.noise_percent < 0.6);
  }
}

TEST_CASE("one stray row does not decide the swing of the raw samples") {
  signals::Samples s = recording(10000.0, 3.0, signals::sum_of(1.0, {{100.01, 0.2, 0.0}}), 0.002);
  const double undisturbed = *measured(s).percent_flicker_raw;
  for (const std::size_t where : {std::size_t{0}, s.value.size() / 2, s.value.size() - 1}) {
    for (const double reading : {0.005, 3.0}) {
      signals::Samples stray = s;
      stray.value[where] = reading;
      INFO("reading " << reading << " at " << where);
      CHECK(*measured(stray).percent_flicker_raw == Approx(undisturbed).margin(0.3));
    }
  }
  // Light that goes out for a moment in every cycle has many of them.
  const auto notches = signals::pulses(100.01, 0.005);
  const auto light = [&](double t) { return notches(t) > 0.0 ? 0.2 : 1.0; };
  CHECK(*measured(recording(10000.0, 3.0, light)).percent_flicker_raw == Approx(66.7).margin(0.5));
}

TEST_CASE("no window of a light flickers by more than 100 %") {
  const auto light = [](double t) { return std::max(0.0, std::sin(signals::two_pi * 100.01 * t)); };
  const Measurement m = measured(recording(20000.0, 6.0, light, 0.02));
  REQUIRE(!m.over_time.windows.empty());
  for (const WindowFigures& window : m.over_time.windows) {
    if (window.percent_flicker) CHECK(*window.percent_flicker <= 100.0);
  }
}

TEST_CASE("no component far above the sampling rate is listed") {
  std::mt19937 random(43);
  for (int i = 0; i < draws(40); ++i) {
    const double hz = logarithmic(random, 500.0, 8000.0);
    const double rate_hz = hz * between(random, 13.0, 60.0);
    const auto light = signals::pulses(hz, between(random, 0.1, 0.9));
    const Measurement m = measured(recording(rate_hz, 1.0, light, 1e-4));
    for (const auto* list : {&m.components, &m.inferred_components}) {
      for (const MeasuredComponent& c : *list) CHECK(c.hz <= 2.0 * rate_hz);
    }
  }
}

TEST_CASE("rhythms that are left out add no more than there is to add") {
  std::vector<signals::Wave> waves;
  for (int i = 0; i < 9; ++i) waves.push_back({97.0 + 61.7 * i, 0.11, 0.4 * i});
  const Measurement m = measured(recording(20000.0, 3.0, signals::sum_of(1.0, waves), 0.001));
  const Finding* several = metering::finding(m, "several_rhythms");
  REQUIRE(several);
  const std::string words = several->message;
  const std::size_t at = words.find("up to ");
  if (at != std::string::npos) {
    CHECK(std::stod(words.substr(at + 6)) <= 100.0 - *m.percent_flicker + 0.05);
  }
}
