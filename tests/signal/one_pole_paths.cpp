// First-order filters between the light and the samples, undone in time: the sensor's bandwidth and
// the recorder's coupling. The recordings are filtered sixteen times as finely as they are sampled.

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>
#include <vector>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;
using metering::measured;
using metering::warns;

constexpr int finer = 16;

struct Path {
  double low_pass_hz = 0.0;  ///< 0: none
  double high_pass_hz = 0.0;
};

/// A light of mean 1 through the path, settled, with the sensor's noise.
signals::Samples recorded(const std::function<double(double)>& light, double rate_hz,
                          double seconds, const Path& path, unsigned seed) {
  signals::Samples s = signals::even_times(rate_hz, seconds);
  const double fine_s = s.interval_s / finer;
  const double low = std::exp(-signals::two_pi * path.low_pass_hz * fine_s);
  const double high = std::exp(-signals::two_pi * path.high_pass_hz * fine_s);
  const auto settling = static_cast<int>(rate_hz * finer / 2);
  double seen = 1.0;
  double blocked = 1.0;
  for (int i = -settling; i < static_cast<int>(s.value.size()) * finer; ++i) {
    const double x = light(i * fine_s);
    seen = path.low_pass_hz > 0.0 ? low * seen + (1.0 - low) * x : x;
    blocked = high * blocked + (1.0 - high) * seen;
    if (i < 0 || i % finer != 0) continue;
    s.value[static_cast<std::size_t>(i / finer)] = path.high_pass_hz > 0.0 ? seen - blocked : seen;
  }
  signals::add_noise(s, 0.0005, seed);
  return s;
}

/// Of mean 1: switched between two levels, `percent` percent flicker.
std::function<double(double)> switched(double hz, double duty, double percent) {
  const double low = (100.0 - percent) / (100.0 + percent);
  const double mean = duty + (1.0 - duty) * low;
  const auto pulses = signals::pulses(hz, duty, 0.2);
  return [=](double t) { return (low + (1.0 - low) * pulses(t)) / mean; };
}

}  // namespace

TEST_CASE("a known coupling is undone edge by edge") {
  std::mt19937 random(31);
  for (int i = 0; i < draws(60); ++i) {
    const double hz = between(random, 100.0, 400.0);
    const double duty = between(random, 0.2, 0.8);
    const double percent = between(random, 20.0, 95.0);
    const Path path{0.0, between(random, 2.0, 20.0)};
    const double rate_hz = between(random, 5000.0, 48000.0);
    INFO(hz << " Hz, duty " << duty << ", " << percent << " %, corner " << path.high_pass_hz
            << " Hz, " << rate_hz << " samples a second");
    MeasurementSettings settings;
    settings.mean_level = 1.0;
    settings.coupling_corner_hz = path.high_pass_hz;
    const Measurement m =
        measured(recorded(switched(hz, duty, percent), rate_hz, 2.0, path, 4), settings);
    REQUIRE(m.percent_flicker);
    CHECK(std::abs(*m.percent_flicker - percent) < std::max(0.5, 3.0 * *m.percent_flicker_sd));
    CHECK_FALSE(warns(m, "coupling_unknown"));
    CHECK_FALSE(warns(m, "unexplained_light"));
  }
}

TEST_CASE("a known bandwidth is undone edge by edge") {
  std::mt19937 random(32);
  for (int i = 0; i < draws(60); ++i) {
    const double hz = between(random, 100.0, 400.0);
    const double duty = between(random, 0.2, 0.8);
    const double percent = between(random, 20.0, 95.0);
    const Path path{logarithmic(random, 500.0, 8000.0), 0.0};
    const double rate_hz = between(random, 10000.0, 48000.0);
    INFO(hz << " Hz, duty " << duty << ", " << percent << " %, corner " << path.low_pass_hz
            << " Hz, " << rate_hz << " samples a second");
    MeasurementSettings settings;
    settings.sensor_corner_hz = path.low_pass_hz;
    const Measurement m =
        measured(recorded(switched(hz, duty, percent), rate_hz, 2.0, path, 4), settings);
    REQUIRE(m.percent_flicker);
    CHECK(std::abs(*m.percent_flicker - percent) < std::max(0.5, 3.0 * *m.percent_flicker_sd));
    CHECK_FALSE(warns(m, "unexplained_light"));
  }
}

TEST_CASE("what the bandwidth's undoing lags by is in no phase") {
  const Path path{800.0, 0.0};
  MeasurementSettings settings;
  settings.sensor_corner_hz = path.low_pass_hz;
  const auto light = signals::sum_of(1.0, {{100.0, 0.3, 0.4}});
  const Measurement m = measured(recorded(light, 5000.0, 2.0, path, 4), settings);
  REQUIRE(!m.components.empty());
  CHECK(m.components.front().phase_deg == Approx(0.4 * 360.0 / signals::two_pi).margin(0.5));
}

TEST_CASE("a coupling nobody told is said, and the figure allows for it") {
  std::mt19937 random(33);
  for (int i = 0; i < draws(60); ++i) {
    const double hz = between(random, 100.0, 400.0);
    const double duty = between(random, 0.2, 0.8);
    const double percent = between(random, 20.0, 95.0);
    const Path path{0.0, between(random, 2.0, 20.0)};
    INFO(hz << " Hz, duty " << duty << ", " << percent << " %, corner " << path.high_pass_hz);
    MeasurementSettings settings;
    settings.mean_level = 1.0;
    const Measurement m =
        measured(recorded(switched(hz, duty, percent), 20000.0, 2.0, path, 4), settings);
    CHECK(warns(m, "coupling_unknown"));
    REQUIRE(m.percent_flicker);
    // Its shape as recorded, not the light's, says how far a corner moves it.
    CHECK(std::abs(*m.percent_flicker - percent) < 3.3 * *m.percent_flicker_sd);
  }
}

TEST_CASE("which way up a coupled recording is must be told unless only one way is a light") {
  MeasurementSettings settings;
  settings.mean_level = 1.0;
  settings.coupling_corner_hz = 5.0;
  const Path path{0.0, 5.0};
  const auto turned_over = [](signals::Samples s) {
    for (double& x : s.value) x = -x;
    return s;
  };
  // Short flashes: the other way round they would be gaps far below nothing.
  const signals::Samples flashes = recorded(switched(120.0, 0.2, 90.0), 20000.0, 2.0, path, 4);
  const Measurement known = measured(flashes, settings);
  CHECK_FALSE(warns(known, "polarity_unknown"));
  CHECK(*known.percent_flicker_sd < 1.0);
  CHECK(warns(measured(turned_over(flashes), settings), "polarity_unknown"));
  // 40 % the one way, 26 % the other.
  const signals::Samples either = recorded(switched(120.0, 0.25, 40.0), 20000.0, 2.0, path, 4);
  for (const signals::Samples& s : {either, turned_over(either)}) {
    const Measurement m = measured(s, settings);
    CHECK(warns(m, "polarity_unknown"));
    REQUIRE(m.percent_flicker);
    CHECK(std::abs(*m.percent_flicker - 40.0) < 2.5 * *m.percent_flicker_sd);
  }
  // A sine is the same both ways.
  const auto sine = signals::sum_of(1.0, {{100.0, 0.3, 0.0}});
  CHECK_FALSE(warns(measured(recorded(sine, 20000.0, 2.0, path, 4), settings), "polarity_unknown"));
}
