#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <numeric>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

// Lights recorded by a sound card, which loses their mean, and the shots they are held against.

namespace lampbeat::test {

/// Since when the card's input has seen the light.
enum class Lit { long_since, at_first_sample };

/// Through a first-order high-pass, as a sound card's coupling.
inline std::vector<double> coupled(const std::vector<double>& light, double corner_hz,
                                   double rate_hz, Lit lit) {
  const double kept = std::exp(-signals::two_pi * corner_hz / rate_hz);
  std::vector<double> out(light.size());
  if (lit == Lit::long_since && !light.empty()) {
    const double mean =
        std::accumulate(light.begin(), light.end(), 0.0) / static_cast<double>(light.size());
    out.front() = light.front() - mean;
  }
  for (std::size_t i = 1; i < light.size(); ++i) {
    out[i] = kept * (out[i - 1] + light[i] - light[i - 1]);
  }
  return out;
}

/// What the coupling leaves of a light, but for the first second.
inline signals::Samples without_mean(const signals::Samples& light, double corner_hz,
                                     Lit lit = Lit::at_first_sample) {
  const double rate_hz = 1.0 / light.interval_s;
  signals::Samples ac = light;
  ac.value = coupled(light.value, corner_hz, rate_hz, lit);
  ac.value.erase(ac.value.begin(), ac.value.begin() + static_cast<std::ptrdiff_t>(rate_hz));
  return ac;
}

template <typename Engine>
Shot random_shot(Engine& random) {
  static const FrameRate rates[] = {{24, 1}, {25, 1}, {30000, 1001}, {30, 1}, {50, 1}, {60, 1}};
  Shot shot;
  shot.fps = rates[random() % std::size(rates)];
  static const double usual[] = {1.0 / 50, 1.0 / 60, 1.0 / 100, 1.0 / 125, 1.0 / 250};
  shot.exposure_s = std::min(shot.fps.frame_s(), usual[random() % std::size(usual)]);
  shot.readout_s = between(random, 0.004, 0.016);
  return shot;
}

inline Recorded worst_of(const Light& light, const Shot& shot) {
  const LightShare alone{light, 1.0};
  return predict({&alone, 1}, shot, {}).worst;
}

}  // namespace lampbeat::test
