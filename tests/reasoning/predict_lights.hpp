#pragma once

#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/light.hpp"
#include "lampbeat/prediction.hpp"
#include "support/brute_force.hpp"
#include "support/draws.hpp"

// Lights for the tests of prediction, and the same lights as plain functions of time.

namespace predict_lights {

using lampbeat::test::between;
using lampbeat::test::logarithmic;

/// A single line that runs free.
inline lampbeat::Light free_ripple(double hz, double amplitude) {
  lampbeat::Light light;
  light.components = {{hz, amplitude, 0.0, {}}};
  return light;
}

/// A single line locked to the mains.
inline lampbeat::Light mains_ripple(double mains_hz, double amplitude, int order = 2) {
  lampbeat::Light light;
  light.name = "ripple";
  light.mains_hz = mains_hz;
  light.components = {{order * mains_hz, amplitude, 0.4, order}};
  return light;
}

/// The fundamental and its harmonics, amplitudes falling, phases at random, sum below 0.95.
inline lampbeat::Light series(std::mt19937& random, double fundamental_hz, int harmonics) {
  lampbeat::Light light;
  light.name = "series";
  double sum = 0.0;
  for (int k = 1; k <= harmonics; ++k) {
    const double amplitude = between(random, 0.05, 0.6) / k;
    sum += amplitude;
    light.components.push_back({k * fundamental_hz, amplitude, between(random, 0.0, 6.28), {}});
  }
  const double depth = between(random, 0.05, 0.95);
  for (auto& c : light.components) c.amplitude *= depth / sum;
  return light;
}

/// The same, locked to the mains at twice its frequency.
inline lampbeat::Light locked_series(std::mt19937& random, double mains_hz, int harmonics) {
  lampbeat::Light light = series(random, 2.0 * mains_hz, harmonics);
  light.mains_hz = mains_hz;
  for (std::size_t k = 0; k < light.components.size(); ++k) {
    light.components[k].mains_order = 2 * (static_cast<int>(k) + 1);
  }
  return light;
}

/// What a random light may be: locked to 50 or 60 Hz with this chance, else free-running between
/// these frequencies; of random depth down to the shallowest.
struct RandomLights {
  double locked = 0.5;
  double slowest_hz = 60.0;
  double fastest_hz = 8000.0;
  double shallowest = 0.03;
};

inline lampbeat::Light random_light(std::mt19937& random, const RandomLights& of) {
  const double mains_hz = lampbeat::test::often(random, 0.5) ? 50.0 : 60.0;
  lampbeat::Light light =
      lampbeat::test::often(random, of.locked)
          ? locked_series(random, mains_hz, 4)
          : series(random, logarithmic(random, of.slowest_hz, of.fastest_hz), 3);
  const double depth = logarithmic(random, of.shallowest, 1.0);
  for (lampbeat::LightComponent& c : light.components) c.amplitude *= depth;
  return light;
}

/// Fully rectified sine, |sin(2π mains t)| relative to its mean: lines at 2 · mains · k of
/// 2/(4k² − 1) (Fourier series of |sin|, Abramowitz & Stegun or any table).
inline lampbeat::Light rectified_sine(double mains_hz, int harmonics = 60) {
  lampbeat::Light light;
  light.name = "rectified sine";
  light.mains_hz = mains_hz;
  for (int k = 1; k <= harmonics; ++k) {
    light.components.push_back(
        {2.0 * k * mains_hz, 2.0 / (4.0 * k * k - 1.0), std::numbers::pi, 2 * k});
  }
  return light;
}

/// The light as a plain function, written out here rather than taken from the library.
inline brute_force::Waveform as_function(const lampbeat::Light& light) {
  return [components = light.components](double t_s) {
    double value = 1.0;
    for (const auto& c : components) {
      value += c.amplitude * std::cos(2.0 * std::numbers::pi * c.hz * t_s + c.phase_rad);
    }
    return value;
  };
}

inline brute_force::Camera as_camera(const lampbeat::Shot& shot) {
  return {shot.fps.per_s(), shot.exposure_s, shot.readout_s, shot.rows};
}

/// Enough pieces that each holds at most a quarter of the fastest cycle.
inline int pieces_for(const lampbeat::Light& light, double exposure_s) {
  double fastest_hz = 1.0;
  for (const auto& c : light.components) fastest_hz = std::max(fastest_hz, c.hz);
  return 1 + static_cast<int>(4.0 * fastest_hz * exposure_s);
}

inline const lampbeat::FrameRate frame_rates[] = {{24, 1},       {24000, 1001}, {25, 1},
                                                  {30, 1},       {30000, 1001}, {50, 1},
                                                  {60000, 1001}, {120, 1},      {240, 1}};

}  // namespace predict_lights
