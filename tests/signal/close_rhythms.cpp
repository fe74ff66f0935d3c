// Rhythms closer together than a window of a second resolves, told apart by longer ones.

#include <cmath>
#include <random>

#include "lampbeat/tones.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;
using metering::measured;
using metering::recording;

/// Half the light ripples by 40 %, half is switched: together 1.2 down to 0.3 and back.
signals::Samples ripple_beside_pwm(double ripple_hz, double pwm_hz, double seconds, unsigned seed) {
  const auto pulses = signals::pulses(pwm_hz, 0.5, 0.37);
  const auto light = [&](double t) {
    return 0.5 * (1.0 + 0.4 * std::cos(signals::two_pi * ripple_hz * t)) + 0.5 * pulses(t);
  };
  return recording(20000.0, seconds, light, 0.002, seed);
}

}  // namespace

TEST_CASE("ripple and a dimmer two hertz apart are two rhythms") {
  const Measurement m = measured(ripple_beside_pwm(120.02, 118.02, 10.0, 1));
  REQUIRE(m.percent_flicker);
  CHECK(std::abs(*m.percent_flicker - 60.0) < 0.5);
  REQUIRE(m.mains_hz);
  CHECK(std::abs(*m.mains_hz - 60.01) < 1e-3);
  CHECK(m.states.empty());
}

TEST_CASE("two ripples half a hertz to three apart reach as far as both together") {
  std::mt19937 random(12);
  for (int i = 0; i < draws(60); ++i) {
    const double rate_hz = between(random, 2000.0, 12000.0);
    const double seconds = between(random, 8.0, 20.0);
    const double one_hz = 100.0 + between(random, -0.06, 0.06);
    const double other_hz = one_hz + (often(random, 0.5) ? 1.0 : -1.0) * between(random, 0.5, 3.0);
    const double one = between(random, 0.1, 0.45);
    const double other = between(random, 0.1, 0.45);
    const auto light = signals::sum_of(1.0, {{one_hz, one, between(random, 0.0, 6.28)},
                                             {other_hz, other, between(random, 0.0, 6.28)}});
    const Measurement m = measured(recording(rate_hz, seconds, light, 0.002, 7));
    INFO(one_hz << " Hz " << one << " and " << other_hz << " Hz " << other << ", " << seconds
                << " s at " << rate_hz);
    REQUIRE(m.percent_flicker);
    const double truth = 100.0 * (one + other);
    CHECK(std::abs(*m.percent_flicker - truth) < 3.0 * *m.percent_flicker_sd);
    CHECK(*m.percent_flicker_sd < 0.03 * truth);
    REQUIRE(m.mains_hz);
    CHECK(std::abs(2.0 * *m.mains_hz - one_hz) < 1e-3);
  }
}

TEST_CASE("a clock that wanders by a percent keeps windows of a second") {
  double phase = 0.0;
  double off = 0.0;
  std::mt19937 random(3);
  std::normal_distribution<double> step(0.0, 1.0);
  signals::Samples s = signals::even_times(10000.0, 12.0);
  for (double& x : s.value) {
    // Forgets itself within a tenth of a second; 1 % rms.
    off = 0.999 * off + 0.01 * std::sqrt(1.0 - 0.999 * 0.999) * step(random);
    phase += 117.3 * (1.0 + off) * s.interval_s;
    x = 1.0 + 0.5 * std::cos(signals::two_pi * phase) + 0.002 * step(random);
  }
  const Measurement m = measured(s);
  REQUIRE(m.over_time.windows.size() >= 11);
  for (const WindowFigures& window : m.over_time.windows) CHECK(window.duration_s < 1.6);
}

TEST_CASE("a lamp that swings in depth is no second rhythm") {
  const auto light = [](double t) {
    const double depth = 0.3 * (1.0 + 0.2 * std::cos(signals::two_pi * 0.9 * t));
    return 1.0 + depth * std::cos(signals::two_pi * 100.02 * t);
  };
  const Measurement m = measured(recording(10000.0, 12.0, light, 0.002));
  REQUIRE(!m.over_time.windows.empty());
  for (const WindowFigures& window : m.over_time.windows) CHECK(window.duration_s < 1.6);
}

TEST_CASE("lines nearer than a window resolves are parted as far as the noise lets them") {
  std::mt19937 random(31);
  int parted = 0;
  const int all = draws(100);
  for (int draw = 0; draw < all; ++draw) {
    const double hz = between(random, 90, 130);
    const double apart_hz = between(random, 0.5, 1.2);
    const double strong = between(random, 0.2, 0.45);
    const double weak = strong * between(random, 0.3, 0.8);
    signals::Samples s = signals::even_times(10000.0, 0.6);
    signals::fill(s, signals::sum_of(1.0, {{hz, strong, between(random, 0, 6)},
                                           {hz + apart_hz, weak, between(random, 0, 6)}}));
    signals::add_noise(s, 1e-3, static_cast<unsigned>(random()));
    const ToneAnalysis tones = analyse_tones({s.value, {}, s.interval_s}, {});
    CAPTURE(hz, apart_hz, strong, weak, tones.series.size());
    if (tones.series.size() != 2) continue;
    ++parted;
    for (const ToneSeries& series : tones.series) {
      const Tone& tone = series.tones.front();
      const bool first = std::abs(tone.hz - hz) < apart_hz / 2.0;
      CHECK(std::abs(tone.hz - (first ? hz : hz + apart_hz)) < 5.0 * tone.hz_sd);
      CHECK(std::abs(tone.amplitude - (first ? strong : weak)) < 5.0 * tone.amplitude_sd);
    }
  }
  CHECK(parted > 0.8 * all);
}

TEST_CASE("one rhythm that fades or whose clock drifts is not taken for two close ones") {
  std::mt19937 random(37);
  for (int draw = 0; draw < draws(100); ++draw) {
    const double hz = between(random, 90, 130);
    const double fades = between(random, -0.1, 0.1);
    const double drifts_hz_s = between(random, -0.2, 0.2);
    signals::Samples s = signals::even_times(10000.0, 1.0);
    signals::fill(s, [&](double t) {
      return 1.0 + 0.4 * (1.0 + fades * t) *
                       std::sin(signals::two_pi * (hz * t + 0.5 * drifts_hz_s * t * t));
    });
    signals::add_noise(s, 1e-3, static_cast<unsigned>(random()));
    const ToneAnalysis tones = analyse_tones({s.value, {}, s.interval_s}, {});
    double strongest = 0.0;
    for (const ToneSeries& series : tones.series) {
      strongest = std::max(strongest, series.tones.front().amplitude);
    }
    CAPTURE(hz, fades, drifts_hz_s, tones.series.size());
    // What looks like company is a side line of a few percent at most.
    for (const ToneSeries& series : tones.series) {
      const double amplitude = series.tones.front().amplitude;
      CHECK((amplitude == strongest || amplitude < 0.1 * strongest));
    }
    CHECK(strongest == Approx(0.4).epsilon(0.15));
  }
}
