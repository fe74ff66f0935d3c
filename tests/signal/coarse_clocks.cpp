// A logger whose clock ticks more slowly than it samples: the light must come out as it is, or not
// at all, and never as steady.

#include <algorithm>
#include <cmath>
#include <random>

#include <fmt/format.h>

#include "lampbeat/capture.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/meter.hpp"
#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

constexpr double two_pi = 6.283185307179586;

struct Log {
  std::vector<double> time_s;
  std::vector<double> value;
};

/// A light of one ripple, its rows stamped in ticks and some of them lost.
template <typename Random>
Log logged(Random& random, double rate_hz, double tick_s, double seconds, double loss, double hz,
           double depth, bool rounded) {
  std::uniform_real_distribution<double> part(0.0, 1.0);
  std::normal_distribution<double> noise(0.0, 0.002);
  const double start_s = part(random) / rate_hz;
  const double phase = two_pi * part(random);
  Log log;
  for (int i = 0; i < static_cast<int>(rate_hz * seconds); ++i) {
    if (i > 0 && part(random) < loss) continue;
    const double t = start_s + i / rate_hz;
    log.time_s.push_back(tick_s * (rounded ? std::round(t / tick_s) : std::floor(t / tick_s)));
    log.value.push_back(1.0 + depth * std::cos(two_pi * hz * t + phase) + noise(random));
  }
  return log;
}

/// Whoever counts rows between the first and the last tick is off by a row at either end, and by a
/// tick where rows were lost: no ± of a frequency need be larger. 0.01 Hz for the noise.
double most_hz_sd(double hz, double rate_hz, double lost_tick_s, double seconds) {
  return 0.01 + hz * 2.0 * (1.0 / rate_hz + lost_tick_s) / seconds;
}

Measurement measured(const Log& log) {
  const auto source = capture_from_samples("log", log.value, 0.0, log.time_s);
  return measure(*source, {});
}

}  // namespace

TEST_CASE("Ripple under any coarse clock is measured as it is and is never steady") {
  std::mt19937 random(30);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  int withheld = 0;
  Coverage flicker;
  const int all = draws(400);
  for (int draw = 0; draw < all; ++draw) {
    const double rate_hz = 1500.0 * std::pow(33.0, part(random));
    const double tick_s = std::max(1.02 / rate_hz, 1e-4 * std::pow(50.0, part(random)));
    const double loss = part(random) < 0.5 ? 0.0 : 0.001 * std::pow(20.0, part(random));
    const double hz = (part(random) < 0.5 ? 100.0 : 120.0) * (1.0 + 4e-4 * (part(random) - 0.5));
    const double depth = 0.05 + 0.95 * part(random);
    const double seconds = 1.0 + 2.0 * part(random);
    const bool rounded = part(random) < 0.5;
    const Measurement m =
        measured(logged(random, rate_hz, tick_s, seconds, loss, hz, depth, rounded));
    INFO(fmt::format("draw {}: {:.1f} Hz, tick {:.4g} ms, loss {:.4f}, {:.4f} Hz, depth {:.3f}",
                     draw, rate_hz, 1e3 * tick_s, loss, hz, depth));
    CHECK_FALSE(m.steady_below_percent);
    CHECK(warns(m, "coarse_clock"));
    REQUIRE(m.dominant_hz);
    CHECK(std::abs(*m.dominant_hz - hz) < 3.3 * *m.dominant_hz_sd);
    CHECK(*m.dominant_hz_sd < most_hz_sd(hz, rate_hz, loss > 0.0 ? tick_s : 0.0, seconds));
    if (!m.percent_flicker) {
      ++withheld;
      continue;
    }
    flicker.take(*m.percent_flicker - 100.0 * depth, *m.percent_flicker_sd);
    CHECK(std::abs(*m.percent_flicker - 100.0 * depth) < std::max(1.0, 3.0 * depth));
  }
  CHECK(flicker.stated_over_actual() < 3.0);
  CHECK(withheld <= all / 20);
}

TEST_CASE(
    "Rows a little further apart than their clock's ticks are neither lost nor of two rhythms") {
  std::mt19937 random(33);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  const int all = draws(300);
  int missing = 0;
  int several = 0;
  int beyond = 0;
  int astray = 0;
  Coverage flicker;
  for (int draw = 0; draw < all; ++draw) {
    const double tick_s = part(random) < 0.5 ? 1e-3 : 1e-4 * std::pow(10.0, part(random));
    const double rate_hz = (0.55 + 0.44 * part(random)) / tick_s;
    const double loss = part(random) < 0.8 ? 0.0 : 0.001 * std::pow(5.0, part(random));
    const double hz = (part(random) < 0.5 ? 100.0 : 120.0) * (1.0 + 4e-4 * (part(random) - 0.5));
    const double depth = 0.05 + 0.85 * part(random);
    const bool rounded = part(random) < 0.5;
    const double seconds = 1.5 + 3.0 * part(random);
    const Measurement m =
        measured(logged(random, rate_hz, tick_s, seconds, loss, hz, depth, rounded));
    INFO(fmt::format("draw {}: {:.1f} Hz, tick {:.4g} ms, loss {:.4f}, depth {:.3f}", draw, rate_hz,
                     1e3 * tick_s, loss, depth));
    REQUIRE(m.dominant_hz);
    beyond += std::abs(*m.dominant_hz - hz) >= 3.3 * *m.dominant_hz_sd;
    CHECK(*m.dominant_hz_sd < most_hz_sd(hz, rate_hz, loss > 0.0 ? tick_s : 0.0, seconds));
    if (m.percent_flicker) {
      flicker.take(*m.percent_flicker - 100.0 * depth, *m.percent_flicker_sd);
      astray += std::abs(*m.percent_flicker - 100.0 * depth) >= std::max(1.0, 3.0 * depth);
    }
    missing += loss == 0.0 && warns(m, "missing_samples");
    several += warns(m, "several_rhythms");
  }
  CHECK(flicker.stated_over_actual() < 3.0);
  CHECK(beyond <= all / 100);
  CHECK(astray <= all / 100);
  CHECK(missing <= all / 100);
  CHECK(several <= all / 20);
}

TEST_CASE("A 35 % lamp logged in whole milliseconds at 2 to 20 kHz is no lamp for any shutter") {
  std::mt19937 random(31);
  for (const double rate_hz : {2000.0, 3000.0, 5000.0, 20000.0}) {
    const Measurement m = measured(logged(random, rate_hz, 1e-3, 2.0, 0.0, 100.0, 0.35, false));
    INFO(rate_hz);
    REQUIRE(m.percent_flicker);
    CHECK(*m.percent_flicker == Approx(35.0).margin(0.5));
    CHECK(m.lowpass_percent[Ja10CutOff::at_200_hz]);
    CHECK(m.svm);
    CHECK_FALSE(warns(m, "uneven_sampling"));
    CHECK(rate_for_filming(light_from(m), 0.016, {}).filming != FilmingClass::any_shutter);
  }
}

TEST_CASE("Times rounded by less than half their last digit are no uneven sampling") {
  std::mt19937 random(32);
  for (const double rate_hz : {2000.0, 7000.0, 20000.0}) {
    const Log log = logged(random, rate_hz, 0.4 / rate_hz, 2.0, 0.0, 100.0, 0.2, true);
    const Measurement m = measured(log);
    INFO(rate_hz);
    CHECK_FALSE(warns(m, "uneven_sampling"));
    CHECK_FALSE(warns(m, "coarse_clock"));
    CHECK(*m.percent_flicker == Approx(20.0).margin(0.3));
  }
}

TEST_CASE("Samples that were not searched are not called steady") {
  const auto source =
      capture_from_samples("few", {1.0, 0.2, 1.0, 0.2, 1.0, 0.2, 1.0, 0.2, 1.0, 0.2}, 2000.0);
  const Measurement m = measure(*source, {});
  CHECK_FALSE(m.steady_below_percent);
  CHECK(warns(m, "not_analysed"));
}
