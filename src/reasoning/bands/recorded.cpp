#include "reasoning/bands/recorded.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "lampbeat/visibility.hpp"
#include "reasoning/bands/lines.hpp"

namespace lampbeat::reasoning::bands {
namespace {

/// How a pattern is seen, the worst of several readings of it.
struct Seen {
  double visibility = 0.0;
  Verdict verdict = Verdict::clean;
  void consider(const Visibility& other) {
    visibility = std::max(visibility, other.most_sensitive);
    verdict = std::max(verdict, verdict_of(other));
  }
  /// Whether no pattern of at most this visibility changes anything.
  bool covers(double most) const { return most <= visibility && verdict_of(most) <= verdict; }
};

/// What the camera's noise hides, where the user knows it, is not more than just clean.
Seen through_noise(const Seen& seen, double contrast, const Shot& shot, const Viewing& viewing) {
  if (!viewing.noise_percent) return seen;
  const double shown_fps = shot.fps.per_s() * slowing(shot.fps.per_s(), viewing);
  if (contrast > hidden_by_noise(*viewing.noise_percent, shown_fps)) return seen;
  return {std::min(seen.visibility, std::nextafter(clean_below, 0.0)), Verdict::clean};
}

/// How much of a slow pattern fits: the contrast of a cosine over `cycles` of it, relative to the
/// contrast over all of it. Half a cycle holds both extremes.
double share_seen(double cycles) { return std::sin(std::numbers::pi * std::min(0.5, cycles)); }

/// `any_waveform`: whichever of the lines may be the strongest one.
Verdict judge_bands(Recorded& r, std::span<const RemainingRhythm> remaining, bool any_waveform,
                    double contrast, const Shot& shot, const Eye& eye) {
  r.band_percent = 100.0 * contrast;
  // Complete darkness in some row: the ratio has no logarithm; 1 : 1000 is what is left of it.
  constexpr double darkest = 2e-3;  // against 2 at full contrast
  r.band_stops = std::log2((1.0 + contrast) / std::max(1.0 - contrast, darkest));
  if (remaining.empty()) return Verdict::clean;
  const RemainingRhythm& strongest = remaining.front();
  r.band_hz = strongest.hz;
  const double bands = bands_down_the_picture(strongest.hz, shot);
  r.bands_per_frame = std::abs(bands);
  r.roll_hz = alias_hz(strongest.hz, shot.fps);
  if (bands != 0.0) r.roll_heights_per_s = -r.roll_hz / bands + 0.0;
  if (contrast <= 0.0) return Verdict::clean;
  // The whole contrast as if it were all in the strongest line, or any weaker line that happens to
  // lie where the eye is better.
  const double slowed = slowing(shot.fps.per_s(), eye.viewing());
  Seen seen;
  seen.consider(eye.of_bands(contrast, r.bands_per_frame, slowed * r.roll_hz));
  for (const RemainingRhythm& line : remaining.subspan(1)) {
    const double amplitude = any_waveform ? contrast : line.amplitude;
    if (seen.covers(eye.most_of_bands() * amplitude)) break;  // and the weaker ones after it
    const double of_line = std::abs(bands_down_the_picture(line.hz, shot));
    const double in_frame =
        any_waveform ? contrast : std::min(contrast, amplitude * share_seen(of_line));
    seen.consider(eye.of_bands(in_frame, of_line, slowed * alias_hz(line.hz, shot.fps)));
  }
  seen = through_noise(seen, contrast, shot, eye.viewing());
  r.band_visibility = seen.visibility;
  return seen.verdict;
}

Verdict judge_pulse(Recorded& r, std::span<const mixture::Series> frames, double contrast,
                    const Shot& shot, const Eye& eye) {
  r.pulse_percent = 100.0 * contrast;
  if (contrast <= 0.0) return Verdict::clean;
  const double slowed = slowing(shot.fps.per_s(), eye.viewing());
  struct Beat {
    double hz, in_clip;
  };
  std::vector<Beat> beats;
  double strongest = 0.0;
  for (const mixture::Series& rhythm : frames) {
    for (const mixture::Harmonic& h : rhythm.harmonics) {
      const double beat_hz = std::abs(alias_hz(h.order * rhythm.hz, shot.fps));
      beats.push_back({beat_hz, std::abs(h.amplitude) * share_seen(beat_hz * clip_s)});
      if (beats.back().in_clip <= strongest) continue;
      strongest = beats.back().in_clip;
      r.pulse_hz = beats.back().hz;
    }
  }
  const bool any_waveform = mixture::some_any_waveform(frames);
  Seen seen;
  seen.consider(eye.of_pulsing(contrast, slowed * r.pulse_hz));
  for (const Beat& beat : beats) {
    const double shown = any_waveform ? contrast : std::min(contrast, beat.in_clip);
    if (seen.covers(eye.most_of_pulsing() * shown)) continue;
    seen.consider(eye.of_pulsing(shown, slowed * beat.hz));
  }
  seen = through_noise(seen, contrast, shot, eye.viewing());
  r.pulse_visibility = seen.visibility;
  return seen.verdict;
}

}  // namespace

Recorded recorded(std::span<const mixture::Series> rows, std::span<const mixture::Series> frames,
                  Contrasts contrasts, const Shot& shot, const Eye& eye) {
  Recorded r;
  const Verdict bands = judge_bands(r, lines_of(rows), mixture::some_any_waveform(rows),
                                    contrasts.among_rows, shot, eye);
  const Verdict pulse = judge_pulse(r, frames, contrasts.among_frames, shot, eye);
  r.visibility = std::max(r.band_visibility, r.pulse_visibility);
  r.verdict = std::max(bands, pulse);
  return r;
}

double seen_bands(double contrast, std::span<const mixture::Series> rows, const Shot& shot,
                  const Eye& eye) {
  Recorded r;
  judge_bands(r, lines_of(rows), mixture::some_any_waveform(rows), contrast, shot, eye);
  return r.band_visibility;
}

double seen_pulsing(double contrast, std::span<const mixture::Series> frames, const Shot& shot,
                    const Eye& eye) {
  Recorded r;
  judge_pulse(r, frames, contrast, shot, eye);
  return r.pulse_visibility;
}

double visible_at_least(double contrast, std::span<const mixture::Series> rows, const Shot& shot,
                        const Eye& eye) {
  return visible_bands(contrast, lines_of(rows).front().hz, shot, eye);
}

double bands_of_line(double contrast, double hz, const Shot& shot, const Eye& eye) {
  const double slowed = slowing(shot.fps.per_s(), eye.viewing());
  return eye
      .of_bands(contrast, std::abs(bands_down_the_picture(hz, shot)),
                slowed * alias_hz(hz, shot.fps))
      .most_sensitive;
}

double pulsing_of_line(double contrast, double hz, const Shot& shot, const Eye& eye) {
  const double slowed = slowing(shot.fps.per_s(), eye.viewing());
  const bool any_in_clip = contrast * share_in_clip(hz, shot.fps) > 0.0;
  return eye.of_pulsing(contrast, any_in_clip ? slowed * alias_hz(hz, shot.fps) : 0.0)
      .most_sensitive;
}

double through_noise(double visibility, double contrast, const Shot& shot, const Eye& eye) {
  return through_noise({visibility, Verdict::clean}, contrast, shot, eye.viewing()).visibility;
}

double share_in_clip(double hz, FrameRate fps) {
  return share_seen(std::abs(alias_hz(hz, fps)) * clip_s);
}

double visible_bands(double contrast, double hz, const Shot& shot, const Eye& eye) {
  if (contrast <= 0.0) return 0.0;
  return through_noise(bands_of_line(contrast, hz, shot, eye), contrast, shot, eye);
}

double visible_pulsing(double contrast, double hz, const Shot& shot, const Eye& eye) {
  if (contrast <= 0.0) return 0.0;
  return through_noise(pulsing_of_line(contrast, hz, shot, eye), contrast, shot, eye);
}

}  // namespace lampbeat::reasoning::bands
