#include "footage/judging.hpp"

#include <algorithm>

#include "lampbeat/visibility.hpp"

namespace lampbeat::footage {

namespace {

/// Slow motion is watched slowed down, at 30 frames a second unless somebody says otherwise.
double slowed(double fps, const Viewing& viewing) {
  if (viewing.playback_fps && fps > 0.0) return *viewing.playback_fps / fps;
  return fps > 60.0 ? 30.0 / fps : 1.0;
}

}  // namespace

void judge(double fps, const FootageSettings& settings, FootageResult& result) {
  const double slower = slowed(fps, settings.viewing);
  double seen = band_visibility(*result.band_percent / 100.0, result.bands_per_frame.value_or(2.0),
                                slower * result.roll_hz.value_or(0.0), settings.viewing);
  if (result.pulse_percent && result.pulse_hz) {
    seen = std::max(seen, pulse_visibility(*result.pulse_percent / 100.0, slower * *result.pulse_hz,
                                           settings.viewing));
  }
  result.visibility = seen;
  result.verdict = verdict_of(seen);
}

}  // namespace lampbeat::footage
