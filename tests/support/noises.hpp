#pragma once

// Noise as sensors and recorders make it.

#include <cmath>
#include <complex>
#include <cstddef>
#include <random>
#include <vector>

#include "signal/spectrum/fft.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

namespace noises {

using lampbeat::test::between;
using lampbeat::test::logarithmic;
using lampbeat::test::Random;

/// Gaussian noise between two frequencies, its density falling as f^−slope: made line by line.
inline std::vector<double> in_band(Random& random, std::size_t samples, double rate_hz,
                                   double from_hz, double to_hz, double rms, double slope = 0.0) {
  std::normal_distribution<double> normal;
  const std::size_t size = lampbeat::signal::spectrum::fast_transform_size(samples);
  std::vector<std::complex<double>> line(size / 2 + 1);
  for (std::size_t k = 1; k < size / 2; ++k) {
    const double hz = static_cast<double>(k) * rate_hz / static_cast<double>(size);
    if (hz < from_hz || hz > to_hz) continue;
    const double part = std::pow(hz, -slope / 2.0);
    line[k] = {part * normal(random), part * normal(random)};
  }
  std::vector<double> value = lampbeat::signal::spectrum::inverse_transform(line, size);
  value.resize(samples);
  double squares = 0.0;
  for (const double x : value) squares += x * x;
  const double scale = rms / std::sqrt(squares / static_cast<double>(samples));
  for (double& x : value) x *= scale;
  return value;
}

/// White noise behind so many first-order low-passes, as a sensor's amplifier makes it.
inline std::vector<double> rolled(Random& random, std::size_t samples, double rate_hz,
                                  double corner_hz, double rms, int order = 1) {
  std::normal_distribution<double> normal;
  const double share = 1.0 - std::exp(-signals::two_pi * corner_hz / rate_hz);
  std::vector<double> stage(static_cast<std::size_t>(order));
  const auto next = [&] {
    double x = normal(random);
    for (double& y : stage) x = y += share * (x - y);
    return x;
  };
  for (double settled = 0.0; settled < 10.0 * rate_hz / corner_hz; settled += 1.0) next();
  std::vector<double> value(samples);
  double squares = 0.0;
  for (double& x : value) {
    x = next();
    squares += x * x;
  }
  const double scale = rms / std::sqrt(squares / static_cast<double>(samples));
  for (double& x : value) x *= scale;
  return value;
}

inline void add(signals::Samples& s, const std::vector<double>& noise) {
  for (std::size_t i = 0; i < s.value.size(); ++i) s.value[i] += noise[i];
}

}  // namespace noises
