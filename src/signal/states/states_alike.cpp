#include "signal/states/states_alike.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "signal/states/irregular_tones.hpp"
#include "signal/tones/same_light.hpp"

namespace lampbeat::signal::states {

namespace {

/// Twice to and fro may be somebody at a dimmer.
constexpr std::size_t stretches_of_a_beat = 5;
/// Of percent flicker: what two folds of one light may differ by.
constexpr double least_difference = 0.02;
constexpr double sds_of_a_difference = 3.0;  ///< one pair of states in 370 by chance
/// Irregular light as strong as before, give or take what a few seconds of it scatter: the rms of a
/// band B Hz wide over T seconds by 1/√(4BT) of itself, a sixth for five hertz and two seconds.
constexpr double as_irregular = 0.7;
/// As everywhere: a thousandth of the level.
constexpr double nobody_minds_percent = 0.1;

double percent_or_zero(const std::optional<double>& percent) { return percent.value_or(0.0); }

double seen_percent(const JudgedState& state) {
  const Measurement& m = state.figures;
  return percent_or_zero(m.percent_flicker) + percent_or_zero(m.unexplained_percent);
}

/// Orders states that show nothing by how much they could hide.
double weight(const JudgedState& state) {
  return seen_percent(state) + percent_or_zero(state.figures.steady_below_percent);
}

/// Everything is known of the state, and it is too little for anybody to see or film.
bool faint(const JudgedState& state) {
  const Measurement& m = state.figures;
  const bool known = m.steady_below_percent || m.percent_flicker;
  return known && m.unexplained_percent && seen_percent(state) <= nobody_minds_percent;
}

bool as_deep(const Measurement& one, const Measurement& other) {
  if (!one.percent_flicker || !other.percent_flicker) {
    return !one.percent_flicker && !other.percent_flicker;
  }
  const double sd = std::hypot(percent_or_zero(one.percent_flicker_sd),
                               percent_or_zero(other.percent_flicker_sd));
  return std::abs(*one.percent_flicker - *other.percent_flicker) <=
         std::max(least_difference * std::max(*one.percent_flicker, *other.percent_flicker),
                  sds_of_a_difference * sd);
}

/// Whether `deeper` says all that `state` says, and no less of what is unexplained.
bool stands_for(const JudgedState& deeper, const JudgedState& state, bool beats, double rate_hz) {
  if (deeper.dark || state.dark) return deeper.dark && state.dark;
  if (faint(deeper) && faint(state)) return true;
  const IrregularTones more = without_irregular(deeper, state);
  const IrregularTones less = without_irregular(state, deeper);
  if (more.irregular < as_irregular * less.irregular) return false;
  // What is left of one of them is irregular light alone.
  const bool only_irregular = more.irregular > 0.0 && more.tones.series.empty();
  if (only_irregular) return less.tones.series.empty();
  const bool enough = beats ? deeper.figures.percent_flicker >= state.figures.percent_flicker
                            : as_deep(deeper.figures, state.figures) &&
                                  tones::has_rhythms_of(less.tones, more.tones, rate_hz);
  return enough && tones::has_rhythms_of(more.tones, less.tones, rate_hz);
}

/// The longest of those that say the same as the deepest describes them best.
std::size_t longest_as_deep(const std::vector<JudgedState>& states,
                            const std::vector<std::size_t>& joined, std::size_t deepest,
                            double rate_hz) {
  std::size_t longest = deepest;
  for (std::size_t i = 0; i < states.size(); ++i) {
    const bool longer = states[i].epoch->seconds() > states[longest].epoch->seconds();
    if (joined[i] == deepest && longer && !faint(states[i]) &&
        stands_for(states[i], states[deepest], false, rate_hz)) {
      longest = i;
    }
  }
  return longest;
}

}  // namespace

std::vector<std::size_t> states_alike(const std::vector<JudgedState>& states, double rate_hz) {
  std::size_t stretches = 0;
  for (const JudgedState& state : states) stretches += state.epoch->stretches().size();
  const bool beats = stretches >= states.size() + stretches_of_a_beat - 2;
  std::vector<std::size_t> deepest_first(states.size());
  std::iota(deepest_first.begin(), deepest_first.end(), 0);
  std::stable_sort(deepest_first.begin(), deepest_first.end(), [&](std::size_t a, std::size_t b) {
    return weight(states[a]) > weight(states[b]);
  });
  std::vector<std::size_t> joined(states.size());
  std::vector<std::size_t> kept;
  for (const std::size_t i : deepest_first) {
    const auto it = std::find_if(kept.begin(), kept.end(), [&](std::size_t k) {
      return stands_for(states[k], states[i], beats, rate_hz);
    });
    joined[i] = it == kept.end() ? i : *it;
    if (it == kept.end()) kept.push_back(i);
  }
  for (const std::size_t deepest : kept) {
    const std::size_t longest = longest_as_deep(states, joined, deepest, rate_hz);
    std::replace(joined.begin(), joined.end(), deepest, longest);
  }
  return joined;
}

}  // namespace lampbeat::signal::states
