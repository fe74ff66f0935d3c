#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <numbers>
#include <numeric>
#include <string>
#include <vector>

#include "lampbeat/error.hpp"
#include "lampbeat/synth.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

struct Samples {
  std::vector<double> time_s;
  std::vector<double> value;
};

Samples samples_of(const LightRecipe& light, const SensorRecipe& sensor) {
  Samples all;
  synthesise(light, sensor,
             [&](const std::vector<double>& time_s, const std::vector<double>& value) {
               all.time_s.insert(all.time_s.end(), time_s.begin(), time_s.end());
               all.value.insert(all.value.end(), value.begin(), value.end());
             });
  return all;
}

LightRecipe sine(double hz, double amplitude, double phase_rad = 0.0) {
  LightRecipe light;
  light.base.components = {{hz, amplitude, phase_rad, {}}};
  return light;
}

double mean_of(const std::vector<double>& value) {
  return std::accumulate(value.begin(), value.end(), 0.0) / static_cast<double>(value.size());
}

/// Amplitude and phase of the cosine at one frequency, from the definition of the transform.
std::complex<double> phasor(const Samples& samples, double hz) {
  std::complex<double> sum = 0.0;
  for (std::size_t i = 0; i < samples.value.size(); ++i) {
    sum += samples.value[i] * std::polar(1.0, -2.0 * std::numbers::pi * hz * samples.time_s[i]);
  }
  return 2.0 * sum / static_cast<double>(samples.value.size());
}

}  // namespace

TEST_CASE("The same seed makes the same samples, another seed others") {
  SensorRecipe sensor;
  sensor.seconds = 1.0;
  sensor.noise_percent = 2.0;
  sensor.jitter_percent = 10.0;
  const Samples first = samples_of(sine(100.0, 0.2), sensor);
  const Samples again = samples_of(sine(100.0, 0.2), sensor);
  CHECK(first.value == again.value);
  CHECK(first.time_s == again.time_s);
  sensor.seed = 2;
  CHECK(samples_of(sine(100.0, 0.2), sensor).value != first.value);
}

TEST_CASE("Noise is drawn the same way on every platform") {
  // std::mt19937_64's 10000th output is fixed by the C++ standard ([rand.predef]); these follow
  // from seed 1 by Box and Muller's formula, worked out in Python.
  SensorRecipe sensor;
  sensor.rate_hz = 4.0;
  sensor.seconds = 1.0;
  sensor.level = 1.0;
  sensor.noise_percent = 100.0;
  const Samples samples = samples_of(LightRecipe{}, sensor);
  const double normal[] = {0.35099249780849107, 0.405290193321616, 1.0859449105047105,
                           0.14429265930606544};
  for (std::size_t i = 0; i < 4; ++i)
    CHECK(samples.value[i] - 1.0 == Approx(normal[i]).margin(1e-12));
}

TEST_CASE("Samples carry the described amplitude and phase, and nothing else") {
  SensorRecipe sensor;
  sensor.seconds = 1.0;
  sensor.level = 0.25;
  const Samples samples = samples_of(sine(120.0, 0.2, 0.7), sensor);
  CHECK(mean_of(samples.value) == Approx(0.25).margin(1e-9));
  CHECK(std::abs(phasor(samples, 120.0)) == Approx(0.05).margin(1e-9));
  CHECK(std::arg(phasor(samples, 120.0)) == Approx(0.7).margin(1e-7));
  for (const double hz : {60.0, 119.0, 240.0, 360.0}) {
    CHECK(std::abs(phasor(samples, hz)) < 1e-9);
  }
}

TEST_CASE("A rectified ripple has the harmonics of a rectified sine") {
  // Fourier series of |sin|: amplitude 2/(4k² − 1) of the mean at 2k times the mains.
  LightRecipe light;
  light.ripple = RectifiedRipple{50.0, 100.0};
  SensorRecipe sensor;
  sensor.rate_hz = 1e6;
  sensor.seconds = 0.1;
  sensor.level = 1.0;
  const Samples samples = samples_of(light, sensor);
  for (int k = 1; k <= 4; ++k) {
    CHECK(std::abs(phasor(samples, 100.0 * k)) == Approx(2.0 / (4.0 * k * k - 1.0)).margin(1e-6));
  }
}

TEST_CASE("Noise has the asked standard deviation and is white") {
  SensorRecipe sensor;
  sensor.seconds = 5.0;
  sensor.noise_percent = 4.0;
  const Samples samples = samples_of(LightRecipe{}, sensor);
  double squares = 0.0;
  double neighbours = 0.0;
  double fourth = 0.0;
  for (std::size_t i = 0; i < samples.value.size(); ++i) {
    const double x = (samples.value[i] - 0.25) / 0.01;
    squares += x * x;
    fourth += x * x * x * x;
    if (i > 0) neighbours += x * (samples.value[i - 1] - 0.25) / 0.01;
  }
  const auto n = static_cast<double>(samples.value.size());
  // Four standard errors each.
  CHECK(squares / n == Approx(1.0).margin(4.0 * std::sqrt(2.0 / n)));
  CHECK(neighbours / n == Approx(0.0).margin(4.0 / std::sqrt(n)));
  CHECK(fourth / n == Approx(3.0).margin(4.0 * std::sqrt(96.0 / n)));
}

TEST_CASE("Jittered samples keep their order, their spread and their own times") {
  SensorRecipe sensor;
  sensor.rate_hz = 4000.0;
  sensor.jitter_percent = 20.0;
  const LightRecipe light = sine(100.0, 0.3);
  const Samples samples = samples_of(light, sensor);
  double farthest = 0.0;
  for (std::size_t i = 0; i < samples.value.size(); ++i) {
    if (i > 0) CHECK(samples.time_s[i] > samples.time_s[i - 1]);
    farthest = std::max(farthest, std::abs(samples.time_s[i] * 4000.0 - static_cast<double>(i)));
    CHECK(samples.value[i] == Approx(0.25 * light.at(samples.time_s[i])).margin(1e-12));
  }
  CHECK(farthest <= 0.2 + 1e-9);
  CHECK(farthest > 0.19);
}

TEST_CASE("A converter gives whole counts within its range") {
  SensorRecipe sensor;
  sensor.bits = 10;
  sensor.level = 0.6;
  const Samples unipolar = samples_of(sine(100.0, 0.9), sensor);
  for (const double value : unipolar.value) {
    CHECK(value * 1024.0 == std::round(value * 1024.0));
    CHECK(value >= 0.0);
    CHECK(value <= 1023.0 / 1024.0);
  }
  CHECK(*std::max_element(unipolar.value.begin(), unipolar.value.end()) == 1023.0 / 1024.0);
  sensor.bipolar = true;
  for (const double value : samples_of(sine(100.0, 0.2), sensor).value) {
    CHECK(value * 512.0 == std::round(value * 512.0));
  }
}

TEST_CASE("AC coupling removes the level and turns the light as a first-order high-pass does") {
  SensorRecipe sensor;
  sensor.seconds = 2.0;
  sensor.level = 0.25;
  sensor.coupling_corner_hz = 20.0;
  const Samples samples = samples_of(sine(100.0, 0.4, 0.5), sensor);
  CHECK(mean_of(samples.value) == Approx(0.0).margin(1e-6));
  const std::complex<double> j(0.0, 1.0);
  // The bilinear transform puts 100 Hz where its tangent falls; exact at the corner only.
  const double ratio =
      std::tan(std::numbers::pi * 100.0 / 20000.0) / std::tan(std::numbers::pi * 20.0 / 20000.0);
  const std::complex<double> expected = 0.1 * std::polar(1.0, 0.5) * j * ratio / (1.0 + j * ratio);
  CHECK(std::abs(phasor(samples, 100.0) - expected) < 1e-7);
  // Settled from the first sample on: the first cycle repeats in the last.
  const std::size_t cycle = 200;
  for (std::size_t i = 0; i < cycle; ++i) {
    CHECK(samples.value[i] == Approx(samples.value[samples.value.size() - cycle + i]).margin(1e-7));
  }
}

TEST_CASE("The dark reading is added to everything") {
  SensorRecipe sensor;
  sensor.dark = 0.03;
  CHECK(mean_of(samples_of(sine(100.0, 0.2), sensor).value) == Approx(0.28).margin(1e-9));
}

TEST_CASE("A recipe out of range is refused in words") {
  const auto refuses = [](auto change) {
    SensorRecipe sensor;
    LightRecipe light = sine(100.0, 0.2);
    change(light, sensor);
    CHECK_THROWS_AS(samples_of(light, sensor), UsageError);
  };
  const double nan = std::numeric_limits<double>::quiet_NaN();
  refuses([](auto&, auto& s) { s.rate_hz = 0.0; });
  refuses([nan](auto&, auto& s) { s.rate_hz = nan; });
  refuses([](auto&, auto& s) { s.seconds = -1.0; });
  refuses([](auto&, auto& s) { s.seconds = 1e9; });
  refuses([](auto&, auto& s) { s.noise_percent = -1.0; });
  refuses([](auto&, auto& s) { s.jitter_percent = 60.0; });
  refuses([](auto&, auto& s) { s.bits = 60; });
  refuses([](auto&, auto& s) { s.level = 0.0; });
  refuses([](auto&, auto& s) { s.coupling_corner_hz = 10.0, s.jitter_percent = 5.0; });
  refuses([](auto& l, auto&) { l.base.components[0].hz = -5.0; });
  refuses([](auto& l, auto&) { l.pwm = PwmDimmer{480.0, 1.5}; });
  refuses([](auto& l, auto&) { l.ripple = RectifiedRipple{50.0, 120.0}; });
}

TEST_CASE("Light cannot be negative, and the refusal says when it would be") {
  std::string refusal;
  try {
    samples_of(sine(100.0, 1.2), SensorRecipe{});
  } catch (const UsageError& error) {
    refusal = error.what();
  }
  CHECK(refusal.find("cannot be negative") != std::string::npos);
  CHECK(refusal.find(" s, ") != std::string::npos);
  CHECK_NOTHROW(samples_of(sine(100.0, 1.0), SensorRecipe{}));
}
