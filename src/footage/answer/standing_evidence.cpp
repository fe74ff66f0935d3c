#include "footage/answer/standing_evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/absence.hpp"
#include "footage/answer/guess.hpp"
#include "footage/answer/standing_floors.hpp"
#include "footage/answer/still_evidence.hpp"
#include "footage/answer/wall_evidence.hpp"
#include "footage/waves/standing.hpp"
#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// Amplitude, of the mean, of moving scenery beside which no claim is made about bands: what
// passed for scenery may have been theirs.
constexpr double much_scenery = 0.01;
// Share of a standing pattern's amplitude that may move otherwise.
constexpr double moved_too = 0.2;
// Turns over the clip that move an edge of a pattern by 0.6 of its amplitude: less is not noticed.
constexpr double unnoticed_turns = 0.1;

void require_same_view(const ClipFormat& clip, const ClipFormat& reference) {
  if (clip.width == reference.width && clip.height == reference.height) return;
  throw InputError(fmt::format(
      "{}: is {} x {} but the clip is {} x {}; a reference shows the same view in the same mode",
      reference.name, reference.width, reference.height, clip.width, clip.height));
}

/// Empty where something stands that may have moved, or too little of the picture could be used.
std::optional<Evidence> against(ClipSource& reference, const stretches::Watched& watched,
                                const FootageSettings& settings) {
  require_same_view(watched.format, reference.format());
  const stretches::Watched safe = stretches::watch(reference, settings);
  const waves::RowProfile profile =
      waves::against_reference(watched.scene, safe.scene, watched.layout);
  const waves::StandingSearch search = waves::find_standing(profile);
  if (!search.smallest_seen) return std::nullopt;
  if (!search.wave) {
    const double seen = std::max(
        {watched.combined.smallest_seen(), *search.smallest_seen, waves::whole_contrast(profile)});
    return nothing_seen(100.0 * seen, ", rolling or standing");
  }
  if (!stands(*search.wave, watched)) return std::nullopt;
  Evidence evidence;
  evidence.smallest_seen_percent = 100.0 * *search.smallest_seen;
  evidence.waves = {with_standing_floors(*search.wave, watched, 0.0)};
  return evidence;
}

Evidence standing_unknown(const stretches::Watched& watched, const FootageSettings& settings) {
  Evidence evidence;
  evidence.findings = few_frames(watched);
  std::string rolling;
  if (watched.frames >= stretches::fewest_frames) {
    rolling = fmt::format(" by more than {} %",
                          words::in_digits_at_most(100.0 * watched.combined.smallest_seen(), 2));
  }
  std::string hint;
  if (watched.frames >= stretches::fewest_frames && !settings.light_hz) {
    hint =
        "Give --light-hz 100 (50 Hz countries) or 120 (60 Hz) to hear whether the light's bands "
        "would have rolled. ";
  }
  evidence.findings.push_back(
      {"standing_bands_unknown",
       fmt::format(
           "Nothing rolls through the picture{}. That does not prove the light safe: bands "
           "that stand still, or nearly, look like part of the scene. {}{} If the clip shows "
           "one evenly lit wall, add --plain-wall.",
           rolling, hint, how_to_tell_standing())});
  return evidence;
}

}  // namespace

Evidence standing_evidence(const stretches::Watched& watched, ClipSource* reference,
                           const FootageSettings& settings) {
  std::optional<Evidence> found;
  if (reference) {
    found = against(*reference, watched, settings);
  } else if (watched.format.still) {
    found = still_evidence(watched, settings);
  } else if (settings.plain_wall) {
    found = wall_evidence(watched, settings);
  } else if (watched.combined.scenery() < much_scenery) {
    found = proven_absence(watched, settings, watched.combined.smallest_seen());
  }
  return found ? *found : standing_unknown(watched, settings);
}

const char* how_to_tell_standing() {
  return "Film at 25 frames a second where the mains has 60 Hz and at 30 where it has 50, so that "
         "bands roll; or give --reference CLIP, the same view at a safe shutter.";
}

waves::Wave with_standing_floors(waves::Wave wave, const stretches::Watched& watched,
                                 double likeness) {
  wave.roll_sd = watched.fps ? unnoticed_turns / static_cast<double>(watched.taken) : 0.0;
  wave.bands_sd = std::hypot(wave.bands_sd, bands_floor * wave.bands, bands_by_shading * likeness);
  const double rounding = rounding_left * watched.layout.rounding;
  const double share = std::hypot(amplitude_floor, amplitude_by_shading * likeness);
  for (waves::Harmonic& h : wave.harmonics)
    h.sd = std::hypot(h.sd, share * std::abs(h.amplitude), rounding);
  return wave;
}

bool stands(const waves::Wave& wave, const stretches::Watched& watched) {
  return watched.combined.scenery() < moved_too * std::abs(wave.strongest().amplitude) &&
         !is_guess(wave);
}

Findings few_frames(const stretches::Watched& watched) {
  if (watched.frames >= stretches::fewest_frames || watched.format.still) return {};
  return {
      {"too_few_frames", fmt::format("{} frame{} cannot show what moves; film two seconds or more.",
                                     watched.frames, watched.frames == 1 ? "" : "s")}};
}

}  // namespace lampbeat::footage::answer
