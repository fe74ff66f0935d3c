#pragma once

#include <cmath>
#include <random>

#include "support/noises.hpp"
#include "support/signals.hpp"

// Lamps at random, and recordings in which one gives way to the other.

namespace spliced {

using noises::between;
using noises::logarithmic;
using noises::Random;

enum class Shape { steady, sine, switched };

struct Lamp {
  Shape shape = Shape::steady;
  double hz = 0.0;
  double depth = 0.0;  ///< percent flicker, as a fraction
  double duty = 0.5;   ///< of the switched
  double level = 1.0;  ///< mean
  double phase_turns = 0.0;

  double at(double t_s) const {
    if (shape == Shape::steady) return level;
    const double turns = hz * t_s + phase_turns;
    if (shape == Shape::sine) return level * (1 + depth * std::cos(signals::two_pi * turns));
    const double low = (1 - depth) / (1 + depth);
    const double mean = duty + (1 - duty) * low;
    return level / mean * (turns - std::floor(turns) < duty ? 1.0 : low);
  }
};

/// Ripple of 50 or 60 Hz mains, or a clock of its own that the rate can see; 0 to 60 % deep.
inline Lamp any_lamp(Random& random, double rate_hz) {
  Lamp lamp;
  lamp.level = logarithmic(random, 0.3, 1.5);
  lamp.phase_turns = between(random, 0, 1);
  switch (random() % 5) {
    case 0:
      return lamp;
    case 1:
    case 2:
      lamp.hz = (random() % 2 ? 100 : 120) * between(random, 0.9995, 1.0005);
      break;
    default:
      lamp.hz = logarithmic(random, 300, std::min(25e3, 0.19 * rate_hz));
  }
  lamp.shape = random() % 2 ? Shape::sine : Shape::switched;
  lamp.depth = between(random, 0.0, 0.6);
  lamp.duty = between(random, 0.1, 0.9);
  return lamp;
}

/// `first` until `change_s`, then `second`.
inline signals::Samples splice(const Lamp& first, const Lamp& second, double change_s,
                               double seconds, double rate_hz, double noise, unsigned seed) {
  signals::Samples s = signals::even_times(rate_hz, seconds);
  signals::fill(s, [&](double t) { return (t < change_s ? first : second).at(t); });
  signals::add_noise(s, noise, seed);
  return s;
}

}  // namespace spliced
