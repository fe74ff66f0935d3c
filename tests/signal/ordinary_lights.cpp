// Lights as shops sell them, recorded as people record them: nothing is wrong with any of these, so
// no warning may say so, and their figures are those of their shape.

#include <map>
#include <random>

#include "support/catch.hpp"
#include "support/coverage.hpp"
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

/// Half-waves of a mains that wanders a little.
struct Mains {
  double hz, wander_hz, start;
  double turns(double t) const {
    constexpr double pace = 0.3;
    return hz * t + wander_hz / (two_pi * pace) * std::sin(two_pi * pace * t + start);
  }
  double half_wave(double t) const { return std::fmod(2 * turns(t), 1.0); }
};

Mains mains(Random& random) {
  return {(random() % 2 ? 50 : 60) * (1 + between(random, -5e-4, 5e-4)), between(random, 0, 0.01),
          between(random, 0, two_pi)};
}

Shine phase_cut(Random& random) {
  const double at = between(random, 0.1, 0.85);
  const double pedestal = between(random, 0.02, 0.3);
  return [=, m = mains(random)](double t) {
    const double x = m.half_wave(t);
    return pedestal + (x > at ? std::sin(two_pi / 2 * x) : 0.0);
  };
}

Shine half_wave(Random& random) {
  const double pedestal = between(random, 0.02, 0.5);
  return [=, m = mains(random)](double t) {
    return pedestal + std::max(0.0, std::sin(two_pi * m.turns(t)));
  };
}

/// A phosphor's or a capacitor's decay after each half wave's charge.
Shine decaying(Random& random) {
  const double pedestal = between(random, 0.02, 0.3);
  const double lasts = between(random, 0.1, 1);
  return [=, m = mains(random)](double t) { return pedestal + std::exp(-m.half_wave(t) / lasts); };
}

Shine dimmed_ripple(Random& random, double rate_hz) {
  const double pwm_hz = between(random, 400, rate_hz / 12);
  const double duty = between(random, 0.15, 0.85);
  const double depth = between(random, 0.02, 0.3);
  const double pedestal = between(random, 0, 0.2);
  return [=, m = mains(random)](double t) {
    const bool on = std::fmod(pwm_hz * t, 1.0) < duty;
    return pedestal + (on ? 1 + depth * std::sin(2 * two_pi * m.turns(t)) : 0.0);
  };
}

/// Finer steps of brightness by lengthening every so many pulses.
Shine dithered(Random& random, double rate_hz) {
  const double pwm_hz = between(random, 300, rate_hz / 12);
  const double duty = between(random, 0.1, 0.8);
  const double longer = between(random, 0.005, 0.03);
  const int every = 2 + static_cast<int>(random() % 4);
  const double pedestal = between(random, 0, 0.2);
  return [=](double t) {
    const double turns = pwm_hz * t;
    const bool lengthened = static_cast<long>(turns) % every == 0;
    return pedestal + (std::fmod(turns, 1.0) < duty + (lengthened ? longer : 0.0) ? 1.0 : 0.0);
  };
}

/// Each reading the mean over its interval, as most converters take it.
signals::Samples averaged_over_readings(double rate_hz, double seconds, const Shine& light) {
  constexpr int parts = 8;
  return recording(rate_hz, seconds, [&](double t) {
    double sum = 0.0;
    for (int i = 0; i < parts; ++i) sum += light(t + (i + 0.5) / parts / rate_hz);
    return sum / parts;
  });
}

}  // namespace

TEST_CASE("Ordinary lights, dimmed or not, are measured without a false word") {
  Random random(61);
  const int all = lampbeat::test::draws(400);
  std::map<std::string, int> said;
  int wrong = 0;
  int withheld = 0;
  lampbeat::test::Coverage flicker[5];
  for (int draw = 0; draw < all; ++draw) {
    const double rate_hz = logarithmic(random, 8000, 100000);
    Shine light;
    switch (draw % 5) {
      case 0:
        light = phase_cut(random);
        break;
      case 1:
        light = half_wave(random);
        break;
      case 2:
        light = decaying(random);
        break;
      case 3:
        light = dimmed_ripple(random, rate_hz);
        break;
      default:
        light = dithered(random, rate_hz);
    }
    auto s = averaged_over_readings(rate_hz, std::min(between(random, 1, 4), 1e5 / rate_hz), light);
    const auto [low, high] = std::minmax_element(s.value.begin(), s.value.end());
    const double truth = 100 * (*high - *low) / (*high + *low);
    const double full = *high;
    signals::add_noise(s, full * logarithmic(random, 3e-4, 0.01), static_cast<unsigned>(draw));
    if (draw % 3 == 0) signals::quantise(s, 1.25 * full, 10 + draw % 2 * 4);
    const Measurement m = measured(s);
    for (const char* code : {"clipped", "unexplained_light", "uneven_sampling", "states_differ"}) {
      said[code] += warns(m, code);
    }
    if (!m.percent_flicker) {
      ++withheld;
      continue;
    }
    flicker[draw % 5].take(*m.percent_flicker - truth, *m.percent_flicker_sd);
    wrong += std::abs(*m.percent_flicker - truth) > 4 * *m.percent_flicker_sd + 0.02 * truth;
  }
  for (const auto& kind : flicker) CHECK(kind.stated_over_actual() < 4.0);
  CHECK(said["clipped"] <= all / 100);
  CHECK(said["unexplained_light"] <= all / 35);
  CHECK(said["uneven_sampling"] == 0);
  CHECK(said["states_differ"] <= all / 100);
  CHECK(withheld <= all / 40);
  CHECK(wrong <= all / 25);
}
