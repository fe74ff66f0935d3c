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

/// The same of bands, coarse and fine.
double highest_bands(const Weights& weights, const Shot& shot) {
  constexpr int samples = 24;
  constexpr double between_samples = 2.0;  // six coarsenesses and no more are far apart
  const double fps = shot.fps.per_s();
  double most = 0.0;
  for (int i = 0; i <= samples; ++i) {
    const double beat_hz = fps * i / (2.0 * samples);
    // Bands are the more visible the coarser they are, down to where the weights level off.
    for (const double many : {0.3, 1.0, 2.0, 4.0, 8.0, 16.0}) {
      const double near_hz = many / shot.readout_s;
      most = std::max(most, weights.bands(1.0, fps * std::round(near_hz / fps) + beat_hz, shot));
    }
  }
  return between_samples * most;
}

bool same(const Viewing& a, const Viewing& b) {
  const auto parts = [](const Viewing& v) {
    return std::tie(v.distance_heights, v.screen_cd_m2, v.recording_bits, v.noise_percent,
                    v.playback_fps);
  };
  return parts(a) == parts(b);
}

}  // namespace

/// A shelf of lights, one judge each, is looked at by one viewer: the last one is kept in mind.
std::shared_ptr<Weights::Known> Weights::known_to(const Viewing& viewing) {
  static std::mutex in_use;
  static std::shared_ptr<Known> last;
  const std::lock_guard lock(in_use);
  if (!last || !same(last->eye.viewing(), viewing)) last = std::make_shared<Known>(viewing);
  return last;
}

Weights::Weights(const Viewing& viewing) : known_(known_to(viewing)) {}

double Weights::bands(double contrast, double hz, const Shot& shot) const {
  return bands::visible_bands(contrast, hz, shot, eye());
}

double Weights::pulsing(double contrast, double hz, const Shot& shot) const {
  return bands::visible_pulsing(contrast, hz, shot, eye());
}

double Weights::most_bands(const Shot& shot) const {
  if (!(shot.readout_s > 0.0)) return 0.0;
  const std::tuple key(shot.fps.per_s(), shot.readout_s, shot.rows);
  const std::lock_guard lock(known_->in_use);
  const auto known = known_->most_bands.find(key);
  if (known != known_->most_bands.end()) return known->second;
  return known_->most_bands[key] = highest_bands(*this, shot);
}

double Weights::most_pulsing(FrameRate fps) const {
  const std::lock_guard lock(known_->in_use);
  const auto known = known_->most_pulsing.find(fps.per_s());
  if (known != known_->most_pulsing.end()) return known->second;
  return known_->most_pulsing[fps.per_s()] = highest_sample(*this, fps);
}

}  // namespace lampbeat::reasoning::judge
