#include "reasoning/recorded.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lampbeat/visibility.hpp"
#include "reasoning/residue.hpp"

namespace lampbeat::reasoning {
namespace {

constexpr double fastest_screen_fps = 60.0;
/// Too small to be recorded anywhere in the range: then it is not more than just clean.
double recordable(double visibility, double contrast, const Viewing& viewing) {
  const bool below = 2.0 * contrast < recording_step(viewing.recording_bits);
  return below ? std::min(visibility, std::nextafter(clean_below, 0.0)) : visibility;
}

/// How much of a slow pattern fits: the contrast of a cosine over `cycles` of it, relative to the
/// contrast over all of it. Half a cycle holds both extremes.
double share_seen(double cycles) { return std::sin(std::numbers::pi * std::min(0.5, cycles)); }

void judge_bands(Recorded& r, std::span<const RemainingRhythm> remaining, double contrast,
                 const Shot& shot, const Viewing& viewing) {
  r.band_percent = 100.0 * contrast;
  // Complete darkness in some row: the ratio has no logarithm; 1 : 1000 is what is left of it.
  r.band_stops = std::log2((1.0 + contrast) / std::max(1.0 - contrast, 2e-3));
  if (remaining.empty()) return;
  const RemainingRhythm& strongest = remaining.front();
  r.band_hz = strongest.hz;
  r.bands_per_frame = strongest.hz * shot.readout_s;
  r.roll_hz = alias_hz(strongest.hz, shot.fps);
  if (r.bands_per_frame > 0.0) r.roll_heights_per_s = -r.roll_hz / r.bands_per_frame + 0.0;
  if (contrast <= 0.0) return;
  // The whole contrast as if it were all in the strongest line, or any weaker line that happens to
  // lie where the eye is better.
  const double slowed = slowing(shot.fps, viewing);
  double visibility = band_visibility(contrast, r.bands_per_frame, slowed * r.roll_hz, viewing);
  for (const RemainingRhythm& line : remaining) {
    const double bands = line.hz * shot.readout_s;
    const double in_frame = std::min(contrast, line.amplitude * share_seen(bands));
    visibility =
        std::max(visibility,
                 band_visibility(in_frame, bands, slowed * alias_hz(line.hz, shot.fps), viewing));
  }
  r.band_visibility = recordable(visibility, contrast, viewing);
}

void judge_pulse(Recorded& r, std::span<const Rhythm> frames, double contrast, const Shot& shot,
                 const Viewing& viewing) {
  r.pulse_percent = 100.0 * contrast;
  if (contrast <= 0.0) return;
  const double slowed = slowing(shot.fps, viewing);
  double strongest = 0.0;
  double visibility = 0.0;
  for (const Rhythm& rhythm : frames) {
    for (const Harmonic& h : rhythm.harmonics) {
      const double beat_hz = std::abs(alias_hz(h.order * rhythm.hz, shot.fps));
      const double in_clip = std::abs(h.amplitude) * share_seen(beat_hz * clip_s);
      if (in_clip > strongest) {
        strongest = in_clip;
        r.pulse_hz = beat_hz;
      }
      visibility = std::max(
          visibility, pulse_visibility(std::min(contrast, in_clip), slowed * beat_hz, viewing));
    }
  }
  visibility = std::max(visibility, pulse_visibility(contrast, slowed * r.pulse_hz, viewing));
  r.pulse_visibility = recordable(visibility, contrast, viewing);
}

/// The lines of the rows, equal frequencies added up, strongest first.
std::vector<RemainingRhythm> lines_of(std::span<const Rhythm> rows) {
  std::vector<RemainingRhythm> lines;
  for (const Rhythm& rhythm : rows) {
    for (const Harmonic& h : rhythm.harmonics) {
      const double hz = h.order * rhythm.hz;
      const auto same = std::find_if(lines.begin(), lines.end(), [&](const RemainingRhythm& r) {
        return std::abs(r.hz - hz) <= 1e-9 * hz;
      });
      if (same == lines.end()) {
        lines.push_back({hz, std::abs(h.amplitude)});
      } else {
        same->amplitude += std::abs(h.amplitude);
      }
    }
  }
  std::stable_sort(
      lines.begin(), lines.end(),
      [](const RemainingRhythm& a, const RemainingRhythm& b) { return a.amplitude > b.amplitude; });
  return lines;
}

}  // namespace

double slowing(FrameRate fps, const Viewing& viewing) {
  if (viewing.playback_fps) return *viewing.playback_fps / fps.per_s();
  return fps.per_s() <= fastest_screen_fps ? 1.0 : slow_motion_fps / fps.per_s();
}

Recorded recorded(std::span<const Rhythm> rows, std::span<const Rhythm> frames, Contrasts contrasts,
                  const Shot& shot, const Viewing& viewing) {
  Recorded r;
  judge_bands(r, lines_of(rows), contrasts.among_rows, shot, viewing);
  judge_pulse(r, frames, contrasts.among_frames, shot, viewing);
  r.visibility = std::max(r.band_visibility, r.pulse_visibility);
  r.verdict = verdict_of(r.visibility);
  return r;
}

Recorded recorded(std::span<const Rhythm> rows, const Shot& shot, const Viewing& viewing,
                  Effort effort) {
  const std::vector<Rhythm> frames = after_frame_mean(rows, shot);
  return recorded(
      rows, frames,
      {contrast_in_frame(rows, shot, effort), contrast_in_clip(frames, shot.fps, effort)}, shot,
      viewing);
}

}  // namespace lampbeat::reasoning
