#include "footage/answer/wall_evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/absence.hpp"
#include "footage/answer/judging.hpp"
#include "footage/answer/standing_evidence.hpp"
#include "footage/waves/standing.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// Share of the first harmonic that the second of a light's ripple rarely exceeds: a fifth in
// rectified mains (|sin| holds 2/3, 2/15 of its mean), half in pulses that last a third of their
// period; only deeply dimmed pulses exceed it.
constexpr double deepest_second_harmonic = 0.5;

/// Fewer bands than shading can imitate: the second harmonic of a deep pattern of so few would look
/// like the wave found.
bool may_be_a_harmonic(const waves::Wave& wave, const waves::RowProfile& profile) {
  return wave.bands < 2.0 * profile.fewest_bands &&
         waves::whole_contrast(profile) * deepest_second_harmonic >
             std::abs(wave.strongest().amplitude);
}

/// Fewer than so many bands are told from shading by nothing.
Evidence shading_or_bands(const stretches::Watched& watched, double percent) {
  Evidence evidence;
  evidence.findings.push_back(
      {"shading_or_bands",
       fmt::format("The wall's brightness changes by {} % down the rows. That may be shading "
                   "or fewer than {:g} bands that stand still; one picture of them cannot tell. {}",
                   words::in_digits_at_most(percent, 2), waves::fewest_on_wall,
                   how_to_tell_standing())});
  const Findings few = few_frames(watched);
  evidence.findings.insert(evidence.findings.end(), few.begin(), few.end());
  return evidence;
}

}  // namespace

Evidence wall_evidence(const stretches::Watched& watched, const FootageSettings& settings) {
  const waves::RowProfile profile = waves::wall_profile(watched.scene, watched.layout);
  const waves::StandingSearch search = waves::find_standing(profile);
  const double percent = 100.0 * waves::whole_contrast(profile);
  if (!search.smallest_seen) return shading_or_bands(watched, percent);
  const double seen = *search.smallest_seen;
  if (search.wave) {
    if (!stands(*search.wave, watched) || may_be_a_harmonic(*search.wave, profile)) {
      return shading_or_bands(watched, percent);
    }
    const double likeness = std::pow(waves::fewest_on_wall / search.wave->bands, 3.0);
    Evidence evidence;
    evidence.smallest_seen_percent = 100.0 * seen;
    evidence.waves = {with_standing_floors(*search.wave, watched, likeness)};
    return evidence;
  }
  const double rolling = watched.combined.smallest_seen();
  if (const auto absent = proven_absence(watched, settings, std::max(rolling, seen))) {
    return *absent;
  }
  if (could_be_clean(percent / 100.0, std::nullopt, watched.fps, settings)) {
    return nothing_seen(std::max(percent, 100.0 * rolling), ", rolling or standing");
  }
  return shading_or_bands(watched, percent);
}

}  // namespace lampbeat::footage::answer
