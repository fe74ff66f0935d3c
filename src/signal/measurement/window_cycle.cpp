#include "signal/measurement/window_cycle.hpp"

#include <utility>

namespace lampbeat::signal::measurement {

WindowCycle cycle_in(const Window& light, const tones::RhythmChoice& choice) {
  const std::vector<Rhythm>& rhythms = choice.rhythms;
  if (rhythms.empty()) return {};
  if (rhythms.size() == 1) return {cycle_figures(light, rhythms), {}};
  cycle::TwoRhythms apart = cycle::take_apart(light, choice);
  return {apart.together ? std::move(apart.together) : cycle_figures(light, rhythms),
          std::move(apart.alone)};
}

}  // namespace lampbeat::signal::measurement
