// A verdict agrees with the raw swing of the readings: brute force over lights of no rhythm, and as
// many steady ones under every kind of noise a recorder has.

#include <algorithm>
#include <random>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/noises.hpp"

using namespace lampbeat;
using namespace metering;
using noises::between;
using noises::logarithmic;
using noises::Random;
using signals::two_pi;

namespace {

using Shine = std::function<double(double)>;

/// What no rhythm explains: `depth` of the light goes, for `seconds` of a recording.
struct Odd {
  double rate_hz, seconds, depth;
  double at(Random& random) const { return between(random, 0.1, 0.8) * seconds; }
};

Shine gaps(Random& random, const Odd& odd, int count, double length_s) {
  std::vector<double> starts;
  for (int i = 0; i < count; ++i) starts.push_back(between(random, 0, odd.seconds - length_s));
  return [=, depth = odd.depth](double t) {
    return std::any_of(starts.begin(), starts.end(),
                       [&](double start) { return t >= start && t < start + length_s; })
               ? 1 - depth
               : 1.0;
  };
}

Shine ramp(Random& random, const Odd& odd) {
  const double at = odd.at(random);
  const double length = between(random, 0.1, 1) * odd.seconds;
  return [=, d = odd.depth](double t) { return 1 - d * std::clamp((t - at) / length, 0.0, 1.0); };
}

Shine two_cycles(Random& random, const Odd& odd) {
  const auto on =
      signals::pulses(between(random, 1, 3) / odd.seconds, between(random, 0.2, 0.8), odd.depth);
  return [=, d = odd.depth](double t) { return 1 - d + 2 * d * on(t); };
}

Shine flashes(Random& random, const Odd& odd) {
  const double hz = logarithmic(random, 3, std::max(4.0, std::min(odd.rate_hz / 200, 300.0)));
  const auto on = signals::pulses(hz, between(random, 0.01, 0.03));
  return [=, d = odd.depth](double t) { return 1 - d + 2 * d * on(t); };
}

Shine chirp(Random& random, const Odd& odd) {
  const double top = std::min(odd.rate_hz / 8, 2000.0);
  const double from = logarithmic(random, 5, top);
  const double by = (logarithmic(random, 5, top) - from) / odd.seconds / 2;
  return [=, d = odd.depth](double t) { return 1 + d * std::cos(two_pi * (from + by * t) * t); };
}

Shine burst(Random& random, const Odd& odd) {
  const double hz = logarithmic(random, 20, std::min(odd.rate_hz / 10, 2000.0));
  const double at = odd.at(random);
  const double end = at + std::max(3 / hz, between(random, 0.02, 0.3) * odd.seconds);
  return [=, d = odd.depth](double t) {
    return t >= at && t < end ? 1 + d * std::cos(two_pi * hz * t) : 1.0;
  };
}

Shine odd_light(Random& random, int kind, const Odd& odd) {
  switch (kind) {
    case 0:
      return gaps(random, odd, 1, std::max(4.5 / odd.rate_hz, logarithmic(random, 5e-4, 0.1)));
    case 1:
      return gaps(random, odd, 4, std::max(2.5 / odd.rate_hz, logarithmic(random, 1e-4, 0.01)));
    case 2:
      return gaps(random, odd, 1 + kind % 3, 1.5 / odd.rate_hz);
    case 3:
      return [at = odd.at(random), d = odd.depth](double t) { return t > at ? 1 - d : 1.0; };
    case 4:
      return ramp(random, odd);
    case 5:
      return two_cycles(random, odd);
    case 6:
      return flashes(random, odd);
    case 7:
      return chirp(random, odd);
    default:
      return burst(random, odd);
  }
}

}  // namespace

TEST_CASE("Light that swings further than its noise explains is never called steady") {
  Random random(31);
  const int all = lampbeat::test::draws(300);
  int called_steady = 0;
  for (int draw = 0; draw < all; ++draw) {
    CAPTURE(draw);
    const double rate_hz = logarithmic(random, 2000, 200000);
    const Odd odd{rate_hz, std::min(logarithmic(random, 0.4, 20), 2e5 / rate_hz),
                  logarithmic(random, 0.03, 1)};
    if (odd.seconds < 0.3) continue;
    const Shine light = odd_light(random, draw % 9, odd);
    const double noise = logarithmic(random, 1e-4, 0.01);
    const auto still = recording(odd.rate_hz, odd.seconds, light);
    const auto [low, high] = std::minmax_element(still.value.begin(), still.value.end());
    const double swing = *high - *low;
    const double by_noise =
        2 * noise * std::sqrt(2 * std::log(static_cast<double>(still.value.size())));
    if (swing < 3 * by_noise) continue;
    const Measurement m =
        measured(recording(odd.rate_hz, odd.seconds, light, noise, static_cast<unsigned>(draw)));
    if (!m.steady_below_percent) continue;
    // A slow slope of a tenth of the light is drift, and is said to be one.
    if (draw % 9 == 4 && swing < 0.12 && (swing < 0.012 || warns(m, "level_drift"))) continue;
    ++called_steady;
  }
  CHECK(called_steady <= all / 500);
}

TEST_CASE("Steady light keeps its word under any noise, hum, coarse steps and a slow drift") {
  Random random(32);
  const int all = lampbeat::test::draws(400);
  int changed = 0;
  for (int draw = 0; draw < all; ++draw) {
    const double rate_hz = logarithmic(random, 1000, 200000);
    const double seconds = std::min(logarithmic(random, 0.3, 20), 2e5 / rate_hz);
    const int kind = draw % 6;
    const double drift = kind == 1 || kind == 4 ? between(random, -0.04, 0.04) : 0.0;
    const double hum = kind == 5 ? logarithmic(random, 5e-5, 3e-4) : 0.0;
    const auto light = [=](double t) {
      return 1 + drift * (1 - std::exp(-t / seconds)) + hum * std::cos(two_pi * 50.02 * t);
    };
    auto s = recording(rate_hz, seconds, light, logarithmic(random, 1e-4, 0.02),
                       static_cast<unsigned>(draw));
    if (kind == 2 || kind == 3) {
      const double rms =
          kind == 2 ? logarithmic(random, 1e-4, 3e-3) : logarithmic(random, 2e-3, 0.01);
      noises::add(s, noises::in_band(random, s.value.size(), rate_hz, 0.01, 1e9, rms,
                                     between(random, 0.8, 1.3)));
    }
    if (kind == 4) signals::quantise(s, 2, 8 + draw % 3 * 2);
    const Measurement m = measured(s);
    const bool only_hum = kind == 5 && m.dominant_hz && std::abs(*m.dominant_hz - 50.02) < 0.5;
    if (!m.unexplained.empty() || !(m.steady_below_percent || only_hum)) ++changed;
  }
  CHECK(changed <= 1 + all / 200);
}

// A photodiode behind a large resistor, a recorder that filters below half its rate, a coarse
// converter: what falls off at a corner is the sensor's.
TEST_CASE("Steady light keeps its word under a sensor's noise up to its corner") {
  Random random(34);
  const int all = lampbeat::test::draws(400);
  int changed = 0;
  for (int draw = 0; draw < all; ++draw) {
    const double rate_hz = logarithmic(random, 1000, 200000);
    auto s = recording(rate_hz, std::min(logarithmic(random, 0.5, 20), 2e5 / rate_hz),
                       [](double) { return 1.0; });
    const std::size_t n = s.value.size();
    const double rms = logarithmic(random, 2e-4, 0.009);
    const double corner_hz = logarithmic(random, 55, rate_hz / 4);
    const double beside = rms * logarithmic(random, 0.02, 1);
    const auto white = [&](double sd) { return noises::in_band(random, n, rate_hz, 0, 1e9, sd); };
    switch (draw % 5) {
      case 0:
      case 1:
        noises::add(s, noises::rolled(random, n, rate_hz, corner_hz, rms, 1 + draw % 2));
        noises::add(s, white(beside));
        break;
      case 2:
        noises::add(s, noises::rolled(random, n, rate_hz, corner_hz, rms));
        noises::add(
            s, noises::in_band(random, n, rate_hz, 0.01, 1e9, beside, between(random, 0.8, 1.3)));
        break;
      case 3:
        noises::add(
            s, noises::in_band(random, n, rate_hz, 0, rate_hz * between(random, 0.35, 0.5), rms));
        break;
      default: {
        const int bits = 8 + draw / 5 % 3 * 2;
        noises::add(s, white(between(random, 0.1, 1.5) * std::exp2(1 - bits)));
        signals::quantise(s, 2, bits);
      }
    }
    const Measurement m = measured(s);
    // Steps that swallow all the noise leave nothing to see a living sensor by.
    const bool one_reading =
        std::all_of(s.value.begin(), s.value.end(), [&](double v) { return v == s.value[0]; });
    CHECK(one_reading == warns(m, "one_reading"));
    if (one_reading) continue;
    if (!m.unexplained.empty() || !m.steady_below_percent) ++changed;
  }
  CHECK(changed <= 1 + all / 200);
}

TEST_CASE("A single reading far off takes the word steady from a light, and says how far") {
  auto s = recording(
      20000, 3, [](double) { return 1.0; }, 0.002);
  s.value[31234] = 0.55;
  const Measurement m = measured(s);
  CHECK_FALSE(m.steady_below_percent);
  REQUIRE(finding(m, "unexplained_light"));
  CHECK(finding(m, "unexplained_light")->message.find("one to three readings") !=
        std::string::npos);
  CHECK(*m.unexplained_percent > 10.0);
}
