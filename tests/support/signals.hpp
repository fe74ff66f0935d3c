#pragma once

// Synthetic windows whose every number is known beforehand.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/window.hpp"

namespace signals {

inline constexpr double two_pi = 2.0 * std::numbers::pi;

/// Owns what a Window only looks at.
struct Samples {
  std::vector<double> value;
  std::vector<double> time_s;  ///< empty when evenly spaced
  double interval_s = 0.0;

  lampbeat::Window window() const { return {value, time_s, interval_s}; }
  double time_at(std::size_t i) const {
    return time_s.empty() ? static_cast<double>(i) * interval_s : time_s[i];
  }
};

/// amplitude · cos(2π hz t + phase)
struct Wave {
  double hz = 0.0;
  double amplitude = 0.0;
  double phase_rad = 0.0;
};

inline Samples even_times(double rate_hz, double duration_s) {
  Samples s;
  s.interval_s = 1.0 / rate_hz;
  s.value.assign(static_cast<std::size_t>(std::llround(rate_hz * duration_s)), 0.0);
  return s;
}

/// Each sample is late or early by up to `jitter` of an interval; times start at zero and rise.
inline Samples jittered_times(double rate_hz, double duration_s, double jitter, unsigned seed) {
  Samples s = even_times(rate_hz, duration_s);
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> shift(-jitter, jitter);
  for (std::size_t i = 0; i < s.value.size(); ++i) {
    s.time_s.push_back((static_cast<double>(i) + shift(random)) * s.interval_s);
  }
  std::sort(s.time_s.begin(), s.time_s.end());
  const double first = s.time_s.front();
  for (double& t : s.time_s) t -= first;
  return s;
}

template <typename Shape>
void fill(Samples& s, Shape&& shape) {
  for (std::size_t i = 0; i < s.value.size(); ++i) s.value[i] = shape(s.time_at(i));
}

/// mean + Σ waves
inline std::function<double(double)> sum_of(double mean, std::vector<Wave> waves) {
  return [mean, waves = std::move(waves)](double t) {
    double x = mean;
    for (const Wave& w : waves) x += w.amplitude * std::cos(two_pi * w.hz * t + w.phase_rad);
    return x;
  };
}

/// 1 for the first `duty` of each cycle, 0 for the rest.
inline std::function<double(double)> pulses(double hz, double duty, double phase_turns = 0.0) {
  return [=](double t) {
    const double turns = hz * t + phase_turns;
    return turns - std::floor(turns) < duty ? 1.0 : 0.0;
  };
}

/// Full-wave rectified sine of the mains.
inline std::function<double(double)> rectified(double mains_hz, double phase_rad = 0.0) {
  return [=](double t) { return std::abs(std::sin(two_pi * mains_hz * t + phase_rad)); };
}

inline void add_noise(Samples& s, double sd, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0.0, sd);
  for (double& x : s.value) x += noise(random);
}

inline void quantise(Samples& s, double full_scale, int bits) {
  const double step = full_scale / std::pow(2.0, bits);
  for (double& x : s.value) x = std::round(x / step) * step;
}

}  // namespace signals
