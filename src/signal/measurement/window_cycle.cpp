#include "signal/measurement/window_cycle.hpp"

#include <utility>

namespace lampbeat::signal::measurement {

WindowCycle cycle_in(const Window& light, const tones::RhythmChoice& choice, std::size_t cells) {
  const std::vector<Rhythm>& rhythms = choice.rhythms;
  if (rhythms.empty()) return {};
  if (rhythms.size() == 1) {
    std::optional<cycle::FoldedRhythm> folded = cycle::folded_rhythm(light, rhythms.front(), cells);
    if (!folded) return {};
    return {folded->figures, {}, std::move(folded)};
  }
  cycle::TwoRhythms apart = cycle::take_apart(light, choice, cells);
  WindowCycle cycle;
  if (!apart.alone.empty() && apart.alone.front().fundamental == choice.fundamental.front()) {
    cycle.leading = apart.alone.front().folded;
  }
  cycle.figures = apart.together ? std::move(apart.together) : cycle_figures(light, rhythms);
  cycle.rhythms = std::move(apart.alone);
  return cycle;
}

}  // namespace lampbeat::signal::measurement
