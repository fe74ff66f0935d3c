#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/synth.hpp"
#include "synth/random.hpp"
#include "synth/recipe_checks.hpp"

namespace lampbeat {

namespace {

constexpr std::uint64_t block_samples = 8192;

/// A coupling capacitor: first-order high-pass (bilinear transform, exact at the corner).
class Coupling {
 public:
  Coupling(double corner_hz, double rate_hz, double first_input) : last_input_(first_input) {
    const double warped = std::tan(std::numbers::pi * corner_hz / rate_hz);
    gain_ = 1.0 / (1.0 + warped);
    pole_ = (1.0 - warped) / (1.0 + warped);
  }
  double pass(double input) {
    output_ = pole_ * output_ + gain_ * (input - last_input_);
    last_input_ = input;
    return output_;
  }

 private:
  double gain_ = 1.0;
  double pole_ = 0.0;
  double last_input_ = 0.0;
  double output_ = 0.0;
};

/// A recording does not start with the sensor being switched on: the capacitor has long settled.
/// It is charged to the mean, and then sees sixteen time constants of the light before t = 0.
Coupling settled_coupling(const LightRecipe& light, const SensorRecipe& sensor) {
  const double time_constant_s = 1.0 / (arithmetic::turn * sensor.coupling_corner_hz);
  const double before = std::ceil(16.0 * time_constant_s * sensor.rate_hz);
  Coupling coupling(sensor.coupling_corner_hz, sensor.rate_hz, sensor.level);
  for (double i = -before; i < 0.0; i += 1.0) {
    coupling.pass(sensor.level * light.at(i / sensor.rate_hz));
  }
  return coupling;
}

double converted(double value, const SensorRecipe& sensor) {
  const double steps = std::ldexp(1.0, sensor.bipolar ? sensor.bits - 1 : sensor.bits);
  const double lowest = sensor.bipolar ? -steps : 0.0;
  return std::clamp(std::round(value * steps), lowest, steps - 1.0) / steps;
}

void require_sensible(const SensorRecipe& sensor) {
  synth::require_within("the sampling rate", sensor.rate_hz, 1.0, 1e7, "Hz");
  synth::require_within("the length", sensor.seconds, 1.0 / sensor.rate_hz, 86400.0, "s");
  synth::require_within("the noise", sensor.noise_percent, 0.0, 1000.0, "%");
  synth::require_within("the level", sensor.level, 1e-6, 1e6, "");
  synth::require_within("the dark reading", sensor.dark, -1e6, 1e6, "");
  synth::require_within("the jitter", sensor.jitter_percent, 0.0, 49.0, "% of the sample interval");
  if (sensor.bits != 0) synth::require_within("the resolution", sensor.bits, 4, 24, "bits");
  if (sensor.coupling_corner_hz != 0.0) {
    synth::require_within("the coupling corner", sensor.coupling_corner_hz, 0.01,
                          0.4 * sensor.rate_hz, "Hz");
    if (sensor.jitter_percent != 0.0) {
      throw UsageError(
          "AC coupling belongs to sound cards, which keep a steady clock, and jitter to loggers; "
          "choose one of the two");
    }
  }
}

}  // namespace

std::uint64_t sample_count(const SensorRecipe& sensor) {
  return static_cast<std::uint64_t>(std::llround(sensor.rate_hz * sensor.seconds));
}

void synthesise(const LightRecipe& light, const SensorRecipe& sensor,
                const std::function<void(const std::vector<double>& time_s,
                                         const std::vector<double>& value)>& sink) {
  synth::require_sensible(light);
  require_sensible(sensor);
  const bool coupled = sensor.coupling_corner_hz > 0.0;
  Coupling coupling = coupled ? settled_coupling(light, sensor) : Coupling(1.0, 4.0, 0.0);
  // Two streams, so that switching jitter on does not change the noise.
  synth::Random noise(sensor.seed);
  synth::Random jitter(sensor.seed ^ 0x9E3779B97F4A7C15ULL);
  const double noise_sd = sensor.level * sensor.noise_percent / 100.0;

  std::vector<double> time_s;
  std::vector<double> value;
  const std::uint64_t count = sample_count(sensor);
  for (std::uint64_t first = 0; first < count; first += block_samples) {
    const std::uint64_t last = std::min(count, first + block_samples);
    time_s.clear();
    value.clear();
    for (std::uint64_t i = first; i < last; ++i) {
      double position = static_cast<double>(i);
      if (sensor.jitter_percent > 0.0 && i > 0) {
        position += sensor.jitter_percent / 100.0 * (2.0 * jitter.uniform() - 1.0);
      }
      const double t = position / sensor.rate_hz;
      const double relative = light.at(t);
      synth::require_light(relative, t);
      double reading = sensor.covered ? 0.0 : sensor.level * std::max(relative, 0.0);
      if (coupled) reading = coupling.pass(reading);
      reading += sensor.dark;
      if (noise_sd > 0.0) reading += noise_sd * noise.normal();
      if (sensor.bits > 0) reading = converted(reading, sensor);
      time_s.push_back(t);
      value.push_back(reading);
    }
    sink(time_s, value);
  }
}

}  // namespace lampbeat
