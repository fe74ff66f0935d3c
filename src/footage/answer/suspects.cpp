#include "footage/answer/suspects.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/figures.hpp"
#include "footage/waves/contrasts.hpp"
#include "footage/waves/frequencies.hpp"
#include "lampbeat/banding.hpp"
#include "lampbeat/exposure.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// Share of a frequency by which mains may have moved from the day of a profile to that of the clip:
// 0.25 Hz of 50. European mains stays within 0.2 Hz nearly always (common practice, no source); the
// 1 % of EN 50160 would let a light pass for any roll within 1 Hz, and tell few suspects apart.
constexpr double other_day = 0.005;
// As far as clocks that are off by 50 parts in a million, as crystals may be, move 1000 Hz.
constexpr double least_roll_off_hz = 0.05;
// Share of the number of bands: three standard uncertainties of a readout known to 2 %, and 1 % of
// mains (EN 50160).
constexpr double bands_off = 0.07;
// Bands in a mixture are never deeper than the light alone makes them: three standard uncertainties
// of 8 %, the most uncertain depth that is told (stretches/frame_limits.hpp).
constexpr double deeper_than_possible = 1.25;
// Over the amplitude of a light's strongest rhythm: fainter ones are not what a picture shows
// first.
constexpr double matters = 0.2;
// No light changes within a microsecond by what a camera could see.
constexpr double instant_s = 1e-6;
// Of a cycle: more than a whole one, so that every phase of it is in the picture.
constexpr double whole_cycle = 1.2;

double distance(double roll, double hz, double fps) {
  const double off = roll - hz;
  return std::abs(off - fps * std::round(off / fps));
}

double contrast_sd(const waves::Wave& wave) {
  double sum = 0.0;
  for (const waves::Harmonic& h : wave.harmonics) sum += h.sd * h.sd;
  return std::sqrt(sum);
}

/// The rhythm of this light that comes closest to the wave's roll, of those that matter. At least
/// one remains.
double closest_rhythm_hz(const std::vector<RemainingRhythm>& remaining, double roll_hz,
                         double fps) {
  const RemainingRhythm* closest = &remaining.front();
  for (const RemainingRhythm& rhythm : remaining) {
    if (rhythm.amplitude < matters * remaining.front().amplitude) continue;
    if (distance(roll_hz, rhythm.hz, fps) < distance(roll_hz, closest->hz, fps)) closest = &rhythm;
  }
  return closest->hz;
}

/// The deepest bands this light can make: at the shutter that is known, or at an instant, which
/// leaves everything, over a whole cycle at least.
double deepest_percent(const Light& light, double hz, const waves::Wave& wave,
                       const Filmed& filmed) {
  const LightShare alone[] = {{light, 1.0}};
  const double seen_s = filmed.readout_s.value_or(wave.bands / hz);
  const Shot shot = filmed.exposure_s ? Shot{filmed.fps, *filmed.exposure_s, seen_s, filmed.rows}
                                      : Shot{filmed.fps, instant_s,
                                             std::max(seen_s, whole_cycle / hz), filmed.rows};
  return 100.0 * band_contrast(alone, shot);
}

/// One light against one wave.
struct Match {
  double hz = 0.0;  ///< of the light's rhythm that comes closest
  double predicted_roll_hz = 0.0;
  double predicted_percent = 0.0;
  std::string objection;  ///< what speaks against it; empty when nothing does

  bool explains() const { return objection.empty(); }
};

std::string objection(const Match& match, const waves::Wave& wave, const Filmed& filmed) {
  const double fps = filmed.fps.per_s();
  const double roll_hz = wave.roll * fps;
  const double allowed =
      std::hypot(other_day * match.hz, 3.0 * wave.roll_sd * fps) + least_roll_off_hz;
  if (distance(roll_hz, match.hz, fps) > allowed) {
    return fmt::format("its {} Hz would roll at {:+.2f} Hz, the clip shows {:+.2f} Hz",
                       words::in_digits_at_most(match.hz, 5), match.predicted_roll_hz, roll_hz);
  }
  const double bands = match.hz * filmed.readout_s.value_or(0.0);
  if (bands > 0.0 &&
      std::abs(bands - wave.bands) > std::max(bands_off * wave.bands, 3.0 * wave.bands_sd)) {
    return fmt::format("its {} Hz would make {:.2f} bands, the clip shows {:.2f}",
                       words::in_digits_at_most(match.hz, 5), bands, wave.bands);
  }
  const double seen = 100.0 * waves::band_contrast({wave}, filmed.rows);
  if (has_bands(wave) && seen > deeper_than_possible * match.predicted_percent) {
    return fmt::format("too steady: {} % bands at {}, the clip shows {} %",
                       words::in_digits_at_most(match.predicted_percent, 2),
                       filmed.exposure_s ? "this shutter" : "most, at any shutter",
                       words::in_digits_at_most(seen, 2));
  }
  return "";
}

Match matched(const Light& light, const std::vector<RemainingRhythm>& remaining,
              const waves::Wave& wave, const Filmed& filmed) {
  const double fps = filmed.fps.per_s();
  Match match;
  match.hz = closest_rhythm_hz(remaining, wave.roll * fps, fps);
  match.predicted_roll_hz = alias_hz(match.hz, filmed.fps);
  match.predicted_percent = deepest_percent(light, match.hz, wave, filmed);
  match.objection = objection(match, wave, filmed);
  return match;
}

/// One light against every wave; empty when it has no rhythm at this shutter.
std::vector<Match> matches_of(const Light& light, const std::vector<waves::Wave>& waves,
                              const Filmed& filmed) {
  const LightShare alone[] = {{light, 1.0}};
  const auto remaining = remaining_rhythms(alone, filmed.exposure_s.value_or(instant_s));
  std::vector<Match> matches;
  if (remaining.empty()) return matches;
  for (const waves::Wave& wave : waves) matches.push_back(matched(light, remaining, wave, filmed));
  return matches;
}

std::string which_pattern(std::size_t wave, std::size_t waves) {
  if (waves == 1) return "the clip";
  return wave == 0 ? "the deepest pattern" : "a fainter pattern";
}

/// By the first wave it explains, or, where it explains none, by the strongest.
Suspect suspect_of(const Light& light, const std::vector<Match>& matches, const Filmed& filmed) {
  Suspect suspect;
  suspect.name = light.name;
  if (matches.empty()) {
    suspect.why = filmed.exposure_s ? "leaves no rhythm at this shutter" : "has no rhythm";
    return suspect;
  }
  const auto explained = std::find_if(matches.begin(), matches.end(),
                                      [](const Match& match) { return match.explains(); });
  suspect.explains = explained != matches.end();
  const Match& match = suspect.explains ? *explained : matches.front();
  suspect.hz = match.hz;
  suspect.predicted_roll_hz = match.predicted_roll_hz;
  suspect.predicted_band_percent = match.predicted_percent;
  suspect.why =
      suspect.explains
          ? fmt::format("its {} Hz rolls and bands as {} does",
                        words::in_digits_at_most(match.hz, 5),
                        which_pattern(static_cast<std::size_t>(explained - matches.begin()),
                                      matches.size()))
          : match.objection;
  return suspect;
}

SeenWave seen(const waves::Wave& wave, const Filmed& filmed, std::vector<LightCandidate> lights) {
  return {100.0 * waves::band_contrast({wave}, filmed.rows),
          100.0 * contrast_sd(wave),
          wave.bands,
          wave.roll * filmed.fps.per_s(),
          std::move(lights),
          {}};
}

}  // namespace

Diagnosis diagnosed(const std::vector<waves::Wave>& waves,
                    const std::vector<LightCandidate>& first_lights,
                    const std::vector<Light>& suspects, const Filmed& filmed) {
  Diagnosis diagnosis;
  const double fps = filmed.fps.per_s();
  for (std::size_t w = 0; w < waves.size(); ++w) {
    diagnosis.waves.push_back(
        seen(waves[w], filmed,
             w == 0 ? first_lights : waves::light_candidates(waves[w], fps, filmed.readout_s)));
  }
  for (const Light& light : suspects) {
    const std::vector<Match> matches = matches_of(light, waves, filmed);
    for (std::size_t w = 0; w < matches.size(); ++w) {
      if (matches[w].explains()) diagnosis.waves[w].suspects.push_back(light.name);
    }
    diagnosis.suspects.push_back(suspect_of(light, matches, filmed));
  }
  return diagnosis;
}

}  // namespace lampbeat::footage::answer
