#include "signal/states/same_state.hpp"

#include <algorithm>
#include <cmath>

#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::states {

namespace {

/// A fit that leaves 30 % more than before may no longer describe the light, and it is searched
/// again: of 200 samples noise does so once in 9000 windows, of more never; of drawn lights that go
/// on three in ten, whose high multiples a straying clock has moved (bench_same_light). It costs
/// the search. A change below a thousandth of the mean is nothing anybody could see or film.
constexpr double noise_may_grow = 1.3;
constexpr double nobody_minds = 1e-3;
/// A first window that leaves so much more than the second held a change of the light: of 200
/// samples noise does once in a hundred million.
constexpr double disturbed = 1.5;
/// A tone has changed when it differs by a tenth, by more than the noise explains, and by at least
/// half a percent of the level, half a point of percent flicker. Weak companions of the strongest
/// tone are left out. The tenth parts lights that go on from those that changed (bench_same_light):
/// 999 of 1000 differ by less, 96 % by more.
constexpr double share_may_change = 0.1;
constexpr double sds_may_change = 6.0;
constexpr double level_may_change = 5e-3;
constexpr double companion = 0.3;
/// A steady level below a twentieth of another is a lamp that is off, whatever leaks.
constexpr double as_bright_share = 0.05;
/// Near its detection floor a tone comes and goes with the noise; what noise lifts over the floor
/// once in 1000 windows it never lifts over three.
constexpr double floors_of_a_change = 3.0;

/// One tone of the state, seen again: both amplitudes over their own windows' levels.
bool has_changed(const Tone& was, double before, const Tone& is, double now) {
  const double change = std::abs(is.amplitude / now - was.amplitude / before);
  const double sd = std::hypot(is.amplitude_sd / now, was.amplitude_sd / before);
  return change > share_may_change * was.amplitude / before + sds_may_change * sd &&
         change > level_may_change;
}

bool as_strong(const ToneAnalysis& first, const ToneAnalysis& fit) {
  const Tone* strongest = tones::strongest_tone(first);
  if (!strongest) return true;
  // Relative to the level, which may drift; a recording without one is compared as it is.
  const bool level = first.mean > 0.5 * strongest->amplitude && fit.mean > 0.0;
  const double before = level ? first.mean : strongest->amplitude;
  const double now = level ? fit.mean : strongest->amplitude;
  for (std::size_t s = 0; s < std::min(fit.series.size(), first.series.size()); ++s) {
    const auto& was = first.series[s].tones;
    const auto& is = fit.series[s].tones;
    for (std::size_t k = 0; k < std::min(was.size(), is.size()); ++k) {
      if (was[k].amplitude < companion * strongest->amplitude) continue;
      if (has_changed(was[k], before, is[k], now)) return false;
    }
  }
  return true;
}

}  // namespace

bool explains(const StateSoFar& state, const ToneAnalysis& fit) {
  const ToneAnalysis& first = state.first;
  const double grown =
      std::sqrt(std::max(0.0, fit.noise_sd * fit.noise_sd - first.noise_sd * first.noise_sd));
  const bool fits =
      fit.noise_sd <= noise_may_grow * first.noise_sd || grown <= nobody_minds * std::abs(fit.mean);
  // The first window held the change itself: what follows is another light.
  const bool began_disturbed = state.windows == 1 && first.noise_sd > disturbed * fit.noise_sd &&
                               first.noise_sd > nobody_minds * std::abs(fit.mean);
  return fits && !began_disturbed && as_strong(first, fit);
}

bool stays_steady(const StateSoFar& state, const ToneAnalysis& found) {
  const Tone* strongest = tones::strongest_tone(found);
  return !strongest || strongest->amplitude < floors_of_a_change * state.first.detection_floor;
}

bool as_bright(const StateSoFar& state, const ToneAnalysis& tones) {
  // No light's rhythm is stronger than twice its level: a recording that has none.
  const Tone* strongest = tones::strongest_tone(state.first);
  if (strongest && strongest->amplitude > 2.0 * std::abs(state.first.mean)) return true;
  const double one = std::abs(tones.mean);
  const double other = std::abs(state.level);
  const double noise = 3.0 * std::max(tones.noise_sd, state.first.noise_sd);
  return std::max(one, other) <= noise ||
         std::min(one, other) >= as_bright_share * std::max(one, other);
}

}  // namespace lampbeat::signal::states
