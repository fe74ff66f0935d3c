// Samples taken R times a second cannot tell f from |n·R ± f| (the sampling theorem). What folds
// may not be called a slow rhythm without a word, and ordinary captures may not carry that word.

#include <cmath>
#include <random>

#include <fmt/format.h>

#include "lampbeat/capture.hpp"
#include "lampbeat/meter.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

constexpr double two_pi = 6.283185307179586;

template <typename Shape>
Measurement sampled(double rate_hz, double seconds, unsigned seed, Shape shape,
                    double noise = 0.002) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal(0.0, noise);
  std::vector<double> value;
  for (int i = 0; i < static_cast<int>(rate_hz * seconds); ++i) {
    value.push_back(shape(i / rate_hz) + normal(random));
  }
  const auto source = capture_from_samples("table", std::move(value), rate_hz);
  return measure(*source, {});
}

auto switched(double hz, double duty, double low) {
  return [=](double t) { return t * hz - std::floor(t * hz) < duty ? 1.0 : low; };
}
auto sine(double hz, double depth) {
  return [=](double t) { return 1.0 + depth * std::cos(two_pi * hz * t + 0.3); };
}

const Finding* doubt_of(const Measurement& m) { return finding(m, "alias_suspected"); }

}  // namespace

TEST_CASE("A rhythm above half the rate of an unfiltered recorder is never told as a slow one") {
  std::mt19937 random(40);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  for (int draw = 0; draw < draws(300); ++draw) {
    const bool pulses = part(random) < 0.5;
    const double rate_hz =
        pulses ? 1000.0 + 6900.0 * part(random) : 1000.0 + 24000.0 * part(random);
    const double hz = rate_hz * (0.51 + 1.45 * part(random));
    const double depth = 0.05 + 0.9 * part(random);
    const auto shape = [&](double t) {
      return pulses ? switched(hz, 0.35, 1.0 - depth)(t) : sine(hz, depth)(t);
    };
    const Measurement m = sampled(rate_hz, 2.0, static_cast<unsigned>(draw), shape);
    const double folded = std::abs(hz - rate_hz * std::round(hz / rate_hz));
    if (folded < 5.0 || folded > rate_hz / 2.0 - 5.0) continue;
    // In the place of mains ripple the likelier reading is the mains.
    if (m.mains_hz) continue;
    INFO(fmt::format("draw {}: {} {:.2f} Hz at {:.2f} a second, depth {:.2f}", draw,
                     pulses ? "pulses" : "sine", hz, rate_hz, depth));
    REQUIRE(doubt_of(m));
    CHECK_FALSE(m.steady_below_percent);
    if (!m.mean) continue;
    CHECK(m.other_readings.size() == 2);
    for (const MeasuredComponent& c : m.components) CHECK(c.hz <= rate_hz / 2.0);
  }
}

TEST_CASE("The doubt names the true frequency, and a saved light is judged by it too") {
  const Measurement slow = sampled(2000.0, 3.0, 1, sine(1993.4, 0.3));
  REQUIRE(doubt_of(slow));
  CHECK(doubt_of(slow)->message.find("1993.4") != std::string::npos);
  const Light light = light_from(slow);
  REQUIRE(light.other_states.size() == 2);
  CHECK(light.other_states[0].components.front().hz == Approx(1993.4).margin(0.01));
  // Both readings pass through the same samples.
  for (int i = 0; i < 50; ++i) {
    const double t = i / 2000.0;
    for (const Light& reading : states_of(light)) {
      CHECK(light_at(reading, t) == Approx(sine(1993.4, 0.3)(t)).margin(0.01));
    }
  }
  // Exactly 120 Hz, without a harmonic or a trace of wander: no lamp on a mains supply does that.
  CHECK(doubt_of(sampled(20000.0, 2.0, 2, sine(19880.0, 0.3))));
  CHECK(doubt_of(sampled(20000.0, 2.0, 3, switched(19880.0, 0.5, 0.2))));
}

TEST_CASE("No component is reported above half the rate; folded harmonics are told apart") {
  const Measurement m = sampled(48000.0, 1.0, 4, switched(4000.3, 0.3, 0.0));
  for (const MeasuredComponent& c : m.components) CHECK(c.hz <= 24000.0);
  CHECK_FALSE(m.inferred_components.empty());
  for (const MeasuredComponent& c : m.inferred_components) CHECK(c.hz > 24000.0);
  CHECK(light_from(m).components.size() == m.components.size() + m.inferred_components.size());
}

TEST_CASE("Ordinary captures carry no doubt about folding") {
  std::mt19937 random(41);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  int doubted = 0;
  const int all = draws(400);
  for (int draw = 0; draw < all; ++draw) {
    const double rate_hz = 10000.0 * std::pow(5.0, part(random));
    const double mains_hz = (draw % 2 ? 50.0 : 60.0) * (1.0 + 4e-4 * (part(random) - 0.5));
    const double pedestal = 0.9 * part(random);
    const double pwm_hz = 150.0 + (rate_hz / 13.0 - 150.0) * part(random);
    const bool pulses = part(random) < 0.3;
    const auto ripple = [&](double t) {
      return pedestal + (1.0 - pedestal) * std::abs(std::sin(two_pi * mains_hz * t));
    };
    const auto shape = [&](double t) {
      return pulses ? switched(pwm_hz, 0.2 + 0.6 * pedestal, 0.1)(t) : ripple(t);
    };
    const Measurement m = sampled(rate_hz, 1.5, static_cast<unsigned>(draw), shape, 0.005);
    doubted += doubt_of(m) != nullptr;
  }
  CHECK(doubted * 200 <= all);
}

TEST_CASE("Samples at uneven times tell a slow rhythm from a fast one without doubt") {
  std::mt19937 random(42);
  std::uniform_real_distribution<double> part(-0.3, 0.3);
  std::vector<double> time_s, value;
  for (int i = 0; i < 6000; ++i) {
    const double t = (i + part(random)) / 2000.0;
    time_s.push_back(t);
    value.push_back(sine(6.6, 0.3)(t));
  }
  const auto source = capture_from_samples("jittered", value, 0.0, time_s);
  const Measurement m = measure(*source, {});
  CHECK_FALSE(doubt_of(m));
  CHECK(*m.dominant_hz == Approx(6.6).margin(0.01));
}

TEST_CASE("The standards are judged at the frequency that is worst for them") {
  // 950 or 1050 Hz, read 1000 times a second, look like 50 Hz, which SVM does not count.
  for (const double hz : {950.0, 1050.0}) {
    const double offset = hz + 0.37;
    const Measurement m = sampled(1000.0, 3.0, 5, sine(offset, 0.6));
    REQUIRE(doubt_of(m));
    Light light;
    light.components = {{offset, 0.6, 0.0, std::nullopt}};
    REQUIRE(m.svm);
    CHECK(*m.svm >= 0.98 * svm(light));
    CHECK(doubt_of(m)->message.find("standards") != std::string::npos);
    // IEEE 1789 is strictest at the lowest of them, the one seen.
    REQUIRE(m.ieee);
    CHECK(m.ieee->hz < 100.0);
    CHECK(m.ieee->level == Ieee1789Level::above_low_risk);
  }
  // The threshold falls towards the lowest frequency counted: seen at 70 Hz by 400 readings a
  // second it may be 330, 470 … Hz, the least of which weighs most.
  Light light;
  light.components = {{330.4, 0.5, 0.0, std::nullopt}};
  const Measurement slow = sampled(400.1, 4.0, 6, sine(330.4, 0.5));
  REQUIRE(doubt_of(slow));
  REQUIRE(slow.svm);
  CHECK(*slow.svm >= 0.97 * svm(light));
}
