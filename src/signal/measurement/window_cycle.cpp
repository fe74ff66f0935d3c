#include "signal/measurement/window_cycle.hpp"

#include <utility>

#include "signal/cycle/reconstruction.hpp"

namespace lampbeat {

WindowCycle cycle_in(const Window& light, const ToneAnalysis& tones, const RhythmChoice& choice,
                     const SensorResponse& response) {
  const std::vector<Rhythm>& rhythms = choice.rhythms;
  if (rhythms.empty()) return {};
  if (!response.flat()) return {figures_of_tones(tones, tones.mean, rhythms), {}};
  if (rhythms.size() == 1) return {cycle_figures(light, rhythms), {}};
  signal::cycle::TwoRhythms apart = signal::cycle::take_apart(light, choice);
  return {apart.together ? std::move(apart.together) : cycle_figures(light, rhythms),
          std::move(apart.alone)};
}

}  // namespace lampbeat
