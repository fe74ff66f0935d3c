#include "footage/waves/contrasts.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "lampbeat/banding.hpp"
#include "reasoning/bands/residue.hpp"

namespace lampbeat::footage::waves {

namespace {

using reasoning::bands::Effort;
using reasoning::bands::widest_of_samples;
using reasoning::mixture::Series;

// More than a beat, so that every phase of it is among the frames.
constexpr double whole_beat = 1.2;
constexpr double least_s = 1.0;

/// A wave as reasoning knows rhythms, in cycles per any unit of time or place; `amplitude` chooses
/// that of the rows or of whole frames.
template <typename Amplitude>
Series series_of(const Wave& wave, double cycles_per_unit, Amplitude amplitude) {
  Series series{cycles_per_unit, {}};
  for (const Harmonic& h : wave.harmonics) series.harmonics.push_back({h.order, amplitude(h)});
  return series;
}

/// As many as the slowest of the waves takes to show itself, and no more: over a longer time the
/// doubt about a roll would pass for phases that frames of an even beat never see.
int frames_of_a_beat(const std::vector<Wave>& waves, double fps) {
  double longest_s = 0.0;
  for (const Wave& wave : waves) {
    if (wave.roll == 0.0) continue;  // every frame like the one before
    longest_s = std::max(longest_s, whole_beat / (std::abs(wave.roll) * fps));
  }
  return static_cast<int>(std::ceil(std::clamp(longest_s, least_s, clip_s) * fps));
}

}  // namespace

double band_contrast(const std::vector<Wave>& waves, int picture_rows) {
  std::vector<Series> rows;
  for (const Wave& wave : waves) {
    rows.push_back(series_of(wave, wave.bands, [](const Harmonic& h) { return h.amplitude; }));
  }
  return widest_of_samples(rows, picture_rows, 1.0 / picture_rows, Effort::full).contrast;
}

double pulse_contrast(const std::vector<Wave>& waves, double fps) {
  std::vector<Series> frames;
  for (const Wave& wave : waves) {
    // Frames take no notice of whole turns between them: backwards is forwards by the rest of one.
    frames.push_back(series_of(wave, arithmetic::begun_turn(wave.roll),
                               [](const Harmonic& h) { return h.frame_amplitude; }));
  }
  return widest_of_samples(frames, frames_of_a_beat(waves, fps), 1.0, Effort::full).contrast;
}

}  // namespace lampbeat::footage::waves
