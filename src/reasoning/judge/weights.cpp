#include "reasoning/judge/weights.hpp"

#include <algorithm>
#include <cmath>

#include "reasoning/bands/recorded.hpp"

namespace lampbeat::reasoning::judge {
namespace {

/// The highest of samples over every beat a frame rate can make, closer together where it is slow:
/// that is where sensitivity changes fast. Between two of them it may be a little higher.
double highest_sample(const Weights& weights, FrameRate fps) {
  constexpr int samples = 24;
  constexpr double slowest_hz = 1e-3;
  constexpr double between_samples = 1.05;
  Shot shot;
  shot.fps = fps;
  double most = 0.0;
  for (int i = 0; i <= samples; ++i) {
    const double part = double(i) / samples;
    const double beat_hz = std::max(slowest_hz, 0.5 * fps.per_s() * part * part);
    most = std::max(most, weights.pulsing(1.0, beat_hz, shot));
  }
  return between_samples * most;
}

}  // namespace

Weights::Weights(const Viewing& viewing) : viewing_(viewing), known_(std::make_shared<Known>()) {}

double Weights::bands(double contrast, double hz, const Shot& shot) const {
  const mixture::Series line{hz, {{1, contrast}}};
  return bands::recorded({&line, 1}, {}, {contrast, 0.0}, shot, viewing_).band_visibility;
}

double Weights::pulsing(double contrast, double hz, const Shot& shot) const {
  const mixture::Series line{hz, {{1, contrast}}};
  return bands::recorded({}, {&line, 1}, {0.0, contrast}, shot, viewing_).pulse_visibility;
}

double Weights::most_bands(const Shot& shot) const {
  if (!(shot.readout_s > 0.0)) return 0.0;
  constexpr int samples = 24;
  constexpr double between_samples = 2.0;  // six coarsenesses and no more are far apart
  const double fps = shot.fps.per_s();
  double most = 0.0;
  for (int i = 0; i <= samples; ++i) {
    const double beat_hz = fps * i / (2.0 * samples);
    // Bands are the more visible the coarser they are, down to where the weights level off.
    for (const double many : {0.3, 1.0, 2.0, 4.0, 8.0, 16.0}) {
      const double near_hz = many / shot.readout_s;
      most = std::max(most, bands(1.0, fps * std::round(near_hz / fps) + beat_hz, shot));
    }
  }
  return between_samples * most;
}

double Weights::most_pulsing(FrameRate fps) const {
  const std::lock_guard lock(known_->in_use);
  const auto known = known_->most_pulsing.find(fps.per_s());
  if (known != known_->most_pulsing.end()) return known->second;
  return known_->most_pulsing[fps.per_s()] = highest_sample(*this, fps);
}

}  // namespace lampbeat::reasoning::judge
