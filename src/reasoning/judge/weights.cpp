#include "reasoning/judge/weights.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <mutex>
#include <tuple>

#include "lampbeat/visibility.hpp"
#include "reasoning/bands/recorded.hpp"

namespace lampbeat::reasoning::judge {
namespace {

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

template <typename Weight>
double Weights::highest_over(double low_hz, double high_hz, FrameRate frame_rate,
                             Weight weight) const {
  // Twelve to each turn of the roll, over as many turns as the frame rate's pattern repeats in.
  const double fps = frame_rate.per_s();
  const double range_hz = high_hz - low_hz;
  const int samples = static_cast<int>(std::clamp(12.0 * range_hz / fps, 4.0, 48.0));
  double highest = 0.0;
  for (int i = 0; i <= samples; ++i) {
    highest = std::max(highest, weight(low_hz + range_hz * i / samples));
  }
  // On the screen; slow motion makes them wider in the room.
  constexpr std::array<double, 7> rolls_hz = {0.0, 0.25, 0.5, 1.0, 2.5, 5.0, 9.0};
  constexpr double most_turns = 12.0;  // of more the coarseness of the bands decides
  const double slowed = slowing(fps, eye().viewing());
  const double first = std::floor(low_hz / fps);
  const double last = std::ceil(high_hz / fps);
  const double stride = std::max(1.0, std::floor((last - first) / most_turns));
  for (double turn = first; turn <= last; turn += stride) {
    for (const double roll_hz : rolls_hz) {
      for (const double hz : {turn * fps - roll_hz / slowed, turn * fps + roll_hz / slowed}) {
        if (hz < low_hz || hz > high_hz) continue;
        highest = std::max(highest, weight(hz));
      }
    }
  }
  return highest;
}

double Weights::highest_of_bands(double low_hz, double high_hz, const Shot& shot) const {
  return highest_over(low_hz, high_hz, shot.fps, [&](double hz) { return bands(1.0, hz, shot); });
}

double Weights::highest_of_pulsing(double low_hz, double high_hz, const Shot& shot) const {
  return highest_over(low_hz, high_hz, shot.fps, [&](double hz) { return pulsing(1.0, hz, shot); });
}

double Weights::pulsing(double contrast, double hz, const Shot& shot) const {
  return bands::visible_pulsing(contrast, hz, shot, eye());
}

}  // namespace lampbeat::reasoning::judge
