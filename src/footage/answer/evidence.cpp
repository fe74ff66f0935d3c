#include "footage/answer/evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/judging.hpp"
#include "footage/answer/unseen.hpp"
#include "footage/waves/standing.hpp"
#include "footage/waves/still_evidence.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::footage {

namespace {

// Beyond this relative uncertainty a figure is a guess and is withheld.
constexpr double too_uncertain = 0.25;
// With a whole band in the picture, every phase of the cycle is seen at once, and so much of a turn
// moves it; standing bands must be more, for shading makes as many.
constexpr double enough_of_a_turn = 0.25;
constexpr double a_whole_band = 1.0;
constexpr double beyond_shading = 1.5;
// Amplitude of moving scenery beside which no claim is made about fainter bands.
constexpr double much_scenery = 0.01;
// A pattern that moved less than this of a turn stands as well as still.
constexpr double as_good_as_still = 0.1;
// Share of the frames.
constexpr double possibly_lost = 0.03;
// Turns in the clip from which a missing frame would put a pattern out of step.
constexpr double steps_show = 3.0;
// Share of a standing pattern's amplitude that may move otherwise.
constexpr double moved_too = 0.2;
// Ripple's second harmonic is rarely deeper than this share of the first.
constexpr double deepest_second_harmonic = 0.5;

/// Less than a good part of a cycle may fit anything.
bool is_guess(const Wave& wave) {
  return wave.strongest().sd > too_uncertain * std::abs(wave.strongest().amplitude) ||
         wave.bands_sd > too_uncertain * std::max(wave.bands, 0.5);
}

/// Cycles that the wave's slowest moving harmonic went through.
double turns_of(const Wave& wave, std::uint64_t frames) {
  return std::abs(wave.strongest().order * wave.roll) * static_cast<double>(frames);
}

/// Whether the pattern moved enough to be told from the scene. Once round, every row has seen all
/// of it. Before that only its shape tells it from shading and daylight that change.
bool told_from_scene(const Wave& wave, std::uint64_t frames) {
  const double turns = turns_of(wave, frames);
  return turns >= whole_turn || (turns >= enough_of_a_turn && wave.bands >= a_whole_band);
}

/// Whether scenery moved by as much as the pattern itself.
bool passes_by(const Wave& wave, const Watched& watched) {
  return watched.combined.scenery() > 0.5 * std::abs(wave.strongest().amplitude);
}

const char* what_settles() {
  return "Film at 25 frames a second where the mains has 60 Hz and at 30 where it has 50, so that "
         "bands roll; or give --reference CLIP, the same view at a safe shutter.";
}

Finding too_slow(const Wave& wave, const Watched& watched) {
  return {"roll_too_slow",
          fmt::format("Something moves through the picture by {:.2g} of a turn in the whole clip: "
                      "too little to tell bands from the scene and from daylight that changes, so "
                      "no depth is given. {}",
                      turns_of(wave, watched.taken), what_settles())};
}

Finding too_uncertain_to_tell(const Wave& wave, double fps) {
  return {
      "clip_too_short",
      fmt::format("Something rolls at about {:.2g} Hz, but this clip does not hold enough of it "
                  "to measure; film {:.0f} s or more, on a tripod.",
                  std::abs(wave.roll) * fps,
                  std::ceil(std::max(3.0, 2.0 / std::max(std::abs(wave.roll) * fps, 0.02))))};
}

/// A second pattern that hardly moved is named and not counted.
Evidence leave_out_slow(Evidence evidence, const Watched& watched) {
  for (Wave& wave : evidence.waves) {
    // Where lost frames would not show, a few may be missing.
    const bool in_step = turns_of(wave, watched.taken) >= steps_show &&
                         watched.combined.unrest() < 0.1 * std::abs(wave.strongest().amplitude);
    if (!watched.lost && !in_step) {
      wave.roll_sd = std::hypot(wave.roll_sd, possibly_lost * wave.roll);
    }
  }
  const auto left = std::erase_if(evidence.waves, [&](const Wave& wave) {
    return !told_from_scene(wave, watched.taken) || is_guess(wave);
  });
  if (left > 0) {
    evidence.findings.push_back(
        {"second_pattern_unknown",
         "A second pattern moves too little in this clip to be told from the scene; it is not in "
         "these figures, and the bands may be deeper with it."});
  }
  return evidence;
}

void require_same_view(const ClipFormat& clip, const ClipFormat& reference) {
  if (clip.width == reference.width && clip.height == reference.height) return;
  throw InputError(fmt::format(
      "{}: is {} x {} but the clip is {} x {}; a reference shows the same view in the same mode",
      reference.name, reference.width, reference.height, clip.width, clip.height));
}

/// A standing wave's uncertainty beyond its fit: few bands on a wall share their shape with its
/// shading.
Wave with_floors(Wave wave, const Watched& watched, bool wall) {
  const double likeness = wall ? std::pow(beyond_shading / wave.bands, 3.0) : 0.0;
  const double rounding = 0.3 * watched.layout.rounding;
  // The phase would have to move by a tenth of a cycle over the clip to be noticed.
  wave.roll_sd = watched.fps > 0.0 ? 0.1 / static_cast<double>(watched.taken) : 0.0;
  wave.bands_sd = std::hypot(wave.bands_sd, 0.003 * wave.bands, 0.12 * likeness);
  for (Harmonic& h : wave.harmonics) {
    h.sd = std::hypot(h.sd, std::hypot(0.01, 0.07 * likeness) * std::abs(h.amplitude), rounding);
  }
  return wave;
}

/// What stands must not have been seen moving.
bool stands(const Wave& wave, const Watched& watched) {
  return watched.combined.scenery() < moved_too * std::abs(wave.strongest().amplitude) &&
         !is_guess(wave);
}

void note(Evidence& evidence, const char* code, std::string message) {
  evidence.findings.push_back({code, std::move(message)});
}

void see_nothing(Evidence& evidence, double percent, const std::string& condition = {}) {
  evidence.nothing_seen = true;
  evidence.smallest_seen_percent = percent;
  note(evidence, "no_bands_seen",
       fmt::format("No bands were found; any deeper than {:.2g} % would have been{}.", percent,
                   condition));
}

/// Would a light of the stated frequency have rolled through? Then its absence is shown.
bool prove_absence(Evidence& evidence, const Watched& watched, const FootageSettings& settings,
                   double smallest_seen) {
  if (!settings.light_hz || watched.taken < fewest_frames || watched.uneven) return false;
  const ExpectedRoll roll = expected_roll(*settings.light_hz, watched);
  if (roll.turns < whole_turn) return false;
  evidence.absent_roll_hz = roll.hz;
  see_nothing(
      evidence, 100.0 * std::max(smallest_seen, possible_pulsing(watched, roll.hz)),
      fmt::format(": a light of {:g} Hz would have rolled through at {:+.3g} Hz, {:.0f} times in "
                  "this clip",
                  *settings.light_hz, roll.hz,
                  std::floor(std::abs(roll.hz) * watched.duration_s())));
  return true;
}

/// Fewer bands than shading can imitate: the second harmonic of a deep pattern of so few would look
/// like the wave found.
bool may_be_a_harmonic(const Wave& wave, const RowProfile& profile) {
  return wave.bands < 2.0 * profile.fewest_bands &&
         whole_contrast(profile) * deepest_second_harmonic > std::abs(wave.strongest().amplitude);
}

/// Fewer than so many bands are told from shading by nothing.
void say_shading_or_bands(Evidence& evidence, double percent) {
  evidence.smallest_seen_percent.reset();
  note(
      evidence, "shading_or_bands",
      fmt::format("The wall's brightness changes by {:.2g} % down the rows. That may be shading or "
                  "fewer than {:g} bands that stand still; one picture of them cannot tell. {}",
                  percent, beyond_shading, what_settles()));
}

/// The wall is declared evenly lit: its rows differ by smooth shading and by bands.
void look_at_wall(Evidence& evidence, const Watched& watched, const FootageSettings& settings) {
  RowProfile profile = wall_profile(watched.scene, watched.layout);
  profile.fewest_bands = beyond_shading;
  const StandingSearch search = find_standing(profile);
  const double percent = 100.0 * whole_contrast(profile);
  if (search.wave && stands(*search.wave, watched) && !may_be_a_harmonic(*search.wave, profile)) {
    evidence.smallest_seen_percent = 100.0 * search.smallest_seen;
    evidence.waves = {with_floors(*search.wave, watched, true)};
    return;
  }
  const double rolling = watched.combined.smallest_seen();
  if (!search.wave && search.smallest_seen > 0.0) {
    if (prove_absence(evidence, watched, settings, std::max(rolling, search.smallest_seen))) return;
    if (could_be_clean(percent / 100.0, std::nullopt, watched.fps, settings)) {
      return see_nothing(evidence, std::max(percent, 100.0 * rolling), ", rolling or standing");
    }
  }
  say_shading_or_bands(evidence, percent);
}

void look_against_reference(Evidence& evidence, const Watched& watched, ClipSource& reference,
                            const FootageSettings& settings) {
  require_same_view(watched.format, reference.format());
  const Watched safe = watch(reference, settings);
  const RowProfile profile = against_reference(watched.scene, safe.scene, watched.layout);
  const StandingSearch search = find_standing(profile);
  if (search.wave && stands(*search.wave, watched)) {
    evidence.smallest_seen_percent = 100.0 * search.smallest_seen;
    evidence.waves = {with_floors(*search.wave, watched, false)};
  } else if (!search.wave && search.smallest_seen > 0.0) {
    const double seen =
        std::max({watched.combined.smallest_seen(), search.smallest_seen, whole_contrast(profile)});
    see_nothing(evidence, 100.0 * seen, ", rolling or standing");
  }
}

void say_few_frames(Evidence& evidence, const Watched& watched) {
  if (watched.frames >= fewest_frames || watched.format.still) return;
  note(evidence, "too_few_frames",
       fmt::format("{} frame{} cannot show what moves; film two seconds or more.", watched.frames,
                   watched.frames == 1 ? "" : "s"));
}

void say_standing_unknown(Evidence& evidence, const Watched& watched,
                          const FootageSettings& settings) {
  say_few_frames(evidence, watched);
  std::string rolling;
  if (watched.frames >= fewest_frames) {
    rolling = fmt::format(" by more than {:.2g} %", 100.0 * watched.combined.smallest_seen());
  }
  if (watched.frames >= fewest_frames && !settings.light_hz) {
    rolling +=
        ". Name the light with --light-hz 100 (50 Hz countries) or 120 (60 Hz) to hear "
        "whether its bands would have rolled";
  }
  note(evidence, "standing_bands_unknown",
       fmt::format("Nothing rolls through the picture{}. Bands that stand still, or nearly, look "
                   "like part of the scene. {}{}",
                   rolling, what_settles(), " For one evenly lit wall there is --plain-wall."));
}

void look_for_standing(Evidence& evidence, const Watched& watched, ClipSource* reference,
                       const FootageSettings& settings) {
  if (reference) {
    look_against_reference(evidence, watched, *reference, settings);
  } else if (watched.format.still) {
    return look_at_still(evidence, watched, settings);
  } else if (settings.plain_wall) {
    look_at_wall(evidence, watched, settings);
    if (evidence.waves.empty() && !evidence.nothing_seen) return say_few_frames(evidence, watched);
  } else if (watched.combined.scenery() < much_scenery) {
    prove_absence(evidence, watched, settings, watched.combined.smallest_seen());
  }
  if (evidence.waves.empty() && !evidence.nothing_seen) {
    say_standing_unknown(evidence, watched, settings);
  }
}

}  // namespace

Evidence find_evidence(const Watched& watched, ClipSource* reference,
                       const FootageSettings& settings) {
  Evidence evidence;
  evidence.waves = watched.combined.waves();
  evidence.smallest_seen_percent = 100.0 * watched.combined.smallest_seen();
  if (evidence.waves.empty()) {
    evidence.smallest_seen_percent.reset();
    if (watched.uneven) return evidence;
    look_for_standing(evidence, watched, reference, settings);
    return evidence;
  }
  const Wave first = evidence.waves.front();
  if (watched.uneven) {
    // Only the depth and number of a single pattern stand, and those where the view does: uneven
    // steps are what a moving camera makes too.
    evidence.waves.resize(1);
    if (!is_guess(first) && !passes_by(first, watched)) return evidence;
    evidence.waves.clear();
    evidence.smallest_seen_percent.reset();
    return evidence;
  }
  if (told_from_scene(first, watched.taken)) {
    if (!is_guess(first)) return leave_out_slow(std::move(evidence), watched);
    evidence.findings.push_back(too_uncertain_to_tell(first, watched.fps));
  } else if ((reference || settings.plain_wall) &&
             turns_of(first, watched.taken) < as_good_as_still) {
    evidence.waves.clear();
    look_for_standing(evidence, watched, reference, settings);
    return evidence;
  } else {
    evidence.findings.push_back(too_slow(first, watched));
  }
  evidence.smallest_seen_percent.reset();
  evidence.waves.clear();
  return evidence;
}

}  // namespace lampbeat::footage
