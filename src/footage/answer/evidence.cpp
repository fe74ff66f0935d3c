#include "footage/answer/evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/guess.hpp"
#include "footage/answer/standing_evidence.hpp"
#include "footage/answer/unseen.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// With a whole band in the picture, every phase of the cycle is seen at once, and a quarter of a
// turn takes each row from the middle of the pattern to an extreme, or as far.
constexpr double enough_of_a_turn = 0.25;
constexpr double a_whole_band = 1.0;
// A pattern that moved less than this of a turn (0.6 of its amplitude) stands as well as still.
constexpr double as_good_as_still = 0.1;
// Share of the frames that a camera or its card may lose without anybody noticing: one a second of
// thirty.
constexpr double possibly_lost = 0.03;
// Turns in the clip from which a missing frame would put a pattern out of step, and the share of
// its amplitude by which it would show.
constexpr double steps_show = 3.0;
constexpr double out_of_step = 0.1;
// Share of the pattern's amplitude: scenery that moves by as much may be what moves.
constexpr double much_beside = 0.5;

/// Cycles that the wave's strongest harmonic went through.
double turns_of(const waves::Wave& wave, std::uint64_t frames) {
  return std::abs(wave.strongest().order * wave.roll) * static_cast<double>(frames);
}

/// Whether the pattern moved enough to be told from the scene. Once round, every row has seen all
/// of it. Before that only its shape tells it from shading and daylight that change.
bool told_from_scene(const waves::Wave& wave, std::uint64_t frames) {
  const double turns = turns_of(wave, frames);
  return turns >= whole_turn || (turns >= enough_of_a_turn && wave.bands >= a_whole_band);
}

/// Whether scenery moved by as much as the pattern itself.
bool passes_by(const waves::Wave& wave, const stretches::Watched& watched) {
  return watched.combined.scenery() > much_beside * std::abs(wave.strongest().amplitude);
}

Finding too_slow(const waves::Wave& wave, const stretches::Watched& watched) {
  return {"roll_too_slow",
          fmt::format("Something moves through the picture by {} of a turn in the whole clip: "
                      "too little to tell bands from the scene and from daylight that changes, so "
                      "no depth is given. {}",
                      words::in_digits_at_most(turns_of(wave, watched.taken), 2),
                      how_to_tell_standing())};
}

/// Two turns of what rolls, and three seconds at least.
double enough_seconds(double roll_hz) {
  constexpr double slowest_hz = 0.02;
  return std::ceil(std::max(3.0, 2.0 / std::max(roll_hz, slowest_hz)));
}

Finding too_uncertain_to_tell(const waves::Wave& wave, double fps) {
  const double roll_hz = std::abs(wave.roll) * fps;
  return {"clip_too_short",
          fmt::format("Something rolls at about {} Hz, but this clip does not hold enough of "
                      "it to measure; film {:.0f} s or more, on a tripod.",
                      words::in_digits_at_most(roll_hz, 2), enough_seconds(roll_hz))};
}

/// Where lost frames would not show, a few may be missing.
waves::Wave with_lost_frames(waves::Wave wave, const stretches::Watched& watched) {
  const bool in_step =
      turns_of(wave, watched.taken) >= steps_show &&
      watched.combined.unrest() < out_of_step * std::abs(wave.strongest().amplitude);
  if (!watched.lost && !in_step) {
    wave.roll_sd = std::hypot(wave.roll_sd, possibly_lost * wave.roll);
  }
  return wave;
}

/// A second pattern that hardly moved is named and not counted.
Evidence of_running(const std::vector<waves::Wave>& waves, const stretches::Watched& watched) {
  Evidence evidence;
  evidence.smallest_seen_percent = 100.0 * watched.combined.smallest_seen();
  for (const waves::Wave& wave : waves) {
    const waves::Wave known = with_lost_frames(wave, watched);
    if (told_from_scene(known, watched.taken) && !is_guess(known)) evidence.waves.push_back(known);
  }
  if (evidence.waves.size() < waves.size()) {
    evidence.findings.push_back(
        {"second_pattern_unknown",
         "A second pattern moves too little in this clip to be told from the scene; it is not in "
         "these figures, and the bands may be deeper with it."});
  }
  return evidence;
}

/// Where frames were taken at times that nothing tells, only the depth and number of a single
/// pattern stand, and those where the view does: uneven steps are what a moving camera makes too.
Evidence of_uneven(const std::vector<waves::Wave>& waves, const stretches::Watched& watched) {
  Evidence evidence;
  if (waves.empty() || is_guess(waves.front()) || passes_by(waves.front(), watched)) {
    return evidence;
  }
  evidence.waves = {waves.front()};
  evidence.smallest_seen_percent = 100.0 * watched.combined.smallest_seen();
  return evidence;
}

Evidence only(Finding finding) {
  Evidence evidence;
  evidence.findings.push_back(std::move(finding));
  return evidence;
}

}  // namespace

Evidence find_evidence(const stretches::Watched& watched, ClipSource* reference,
                       const FootageSettings& settings) {
  const std::vector<waves::Wave> waves = watched.combined.waves();
  if (watched.uneven) return of_uneven(waves, watched);
  if (waves.empty()) return standing_evidence(watched, reference, settings);
  const waves::Wave& first = waves.front();
  if (told_from_scene(first, watched.taken)) {
    return is_guess(first) ? only(too_uncertain_to_tell(first, watched.rate->per_s()))
                           : of_running(waves, watched);
  }
  const bool can_tell_standing = reference || settings.plain_wall;
  if (can_tell_standing && turns_of(first, watched.taken) < as_good_as_still) {
    return standing_evidence(watched, reference, settings);
  }
  return only(too_slow(first, watched));
}

}  // namespace lampbeat::footage::answer
