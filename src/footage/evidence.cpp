#include "footage/evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/standing.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::footage {

namespace {

// Beyond this relative uncertainty a figure is a guess and is withheld.
constexpr double too_uncertain = 0.25;

/// Could a light on the mains stand still at this frame rate? Then silence proves nothing.
bool mains_could_stand(double fps, double duration_s) {
  for (const double hz : {100.0, 120.0}) {
    const double roll = std::abs(hz - fps * std::round(hz / fps));
    if (roll * duration_s < 0.25) return true;
  }
  return false;
}

/// Less than a good part of a cycle may fit anything.
bool is_guess(const Wave& wave) {
  return wave.strongest().sd > too_uncertain * std::abs(wave.strongest().amplitude) ||
         wave.bands_sd > too_uncertain * std::max(wave.bands, 0.5);
}

Finding too_short(const Wave& wave, double fps) {
  return {"clip_too_short",
          fmt::format("Something rolls at about {:.2g} Hz, too slowly for this clip to tell bands "
                      "from scene; film {:.0f} s or more.",
                      wave.roll * fps, std::ceil(1.0 / std::max(std::abs(wave.roll) * fps, 0.02)))};
}

void require_same_view(const ClipFormat& clip, const ClipFormat& reference) {
  if (clip.width == reference.width && clip.height == reference.height) return;
  throw InputError(fmt::format(
      "{}: is {} x {} but the clip is {} x {}; a reference shows the same view in the same mode",
      reference.name, reference.width, reference.height, clip.width, clip.height));
}

/// What stands still down the rows, where something says what they should look like.
std::optional<RowProfile> standing_profile(const Watched& watched, ClipSource* reference,
                                           const FootageSettings& settings, Findings& findings) {
  if (reference) {
    require_same_view(watched.format, reference->format());
    const Watched safe = watch(*reference, settings);
    return against_reference(watched.scene, safe.scene, watched.layout);
  }
  if (watched.format.still && !settings.plain_wall) {
    findings.push_back(
        {"still_taken_for_a_wall",
         "One photograph cannot show what moves, so it was taken for an evenly lit plain wall; "
         "anything striped in it counts as bands."});
  }
  if (settings.plain_wall || watched.format.still) {
    return wall_profile(watched.scene, watched.layout);
  }
  return std::nullopt;
}

/// A standing wave's uncertainty beyond its fit.
Wave with_floors(Wave wave, const Watched& watched) {
  // The phase would have to move by a tenth of a cycle over the clip to be noticed.
  wave.roll_sd =
      watched.frames > 0 && watched.fps > 0.0 ? 0.1 / static_cast<double>(watched.frames) : 0.0;
  wave.bands_sd = std::hypot(wave.bands_sd, 0.003 * wave.bands);
  for (Harmonic& h : wave.harmonics) h.sd = std::hypot(h.sd, 0.01 * std::abs(h.amplitude));
  return wave;
}

void see_nothing(Evidence& evidence, double fewest_bands) {
  evidence.nothing_seen = true;
  evidence.findings.push_back(
      {"no_bands_seen",
       fmt::format("No bands were found; any deeper than {:.2g} % would have been{}.",
                   evidence.smallest_seen_percent,
                   fewest_bands > 0.0
                       ? fmt::format(", if they number {:g} or more over the picture", fewest_bands)
                       : std::string())});
}

void say_standing_unknown(Evidence& evidence, const Watched& watched) {
  const bool enough = watched.frames >= fewest_frames;
  if (!enough && !watched.format.still) {
    evidence.findings.push_back(
        {"too_few_frames",
         fmt::format("{} frame{} cannot show what moves; film two seconds or more.", watched.frames,
                     watched.frames == 1 ? "" : "s")});
  }
  evidence.findings.push_back(
      {"standing_bands_unknown",
       fmt::format("Nothing rolls through the picture{}. Bands that stand still look like part of "
                   "the scene at this frame rate: give --reference CLIP (same view at a safe "
                   "shutter), or --plain-wall if the view is one evenly lit wall.",
                   enough ? fmt::format(" by more than {:.2g} %", evidence.smallest_seen_percent)
                          : std::string())});
}

void look_for_standing(Evidence& evidence, const Watched& watched, ClipSource* reference,
                       const FootageSettings& settings) {
  if (const auto profile = standing_profile(watched, reference, settings, evidence.findings)) {
    const StandingSearch search = find_standing(*profile);
    const double seen = 100.0 * search.smallest_seen;
    evidence.smallest_seen_percent =
        watched.format.still ? seen : std::max(evidence.smallest_seen_percent, seen);
    if (search.wave) {
      evidence.waves = {with_floors(*search.wave, watched)};
      return;
    }
    if (search.smallest_seen > 0.0) return see_nothing(evidence, profile->fewest_bands);
  } else if (watched.frames >= fewest_frames &&
             !mains_could_stand(watched.fps, watched.duration_s())) {
    return see_nothing(evidence, 0.0);
  }
  say_standing_unknown(evidence, watched);
}

}  // namespace

Evidence find_evidence(const Watched& watched, ClipSource* reference,
                       const FootageSettings& settings) {
  Evidence evidence;
  evidence.waves = watched.combined.waves();
  evidence.smallest_seen_percent = 100.0 * watched.combined.smallest_seen();
  if (!evidence.waves.empty() && is_guess(evidence.waves.front())) {
    evidence.findings.push_back(too_short(evidence.waves.front(), watched.fps));
    evidence.waves.clear();
  } else if (evidence.waves.empty()) {
    look_for_standing(evidence, watched, reference, settings);
  }
  return evidence;
}

}  // namespace lampbeat::footage
