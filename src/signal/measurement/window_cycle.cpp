#include "signal/measurement/window_cycle.hpp"

#include <utility>

#include "signal/cycle/reconstruction.hpp"

namespace lampbeat::signal::measurement {

WindowCycle cycle_in(const Window& light, const ToneAnalysis& tones,
                     const tones::RhythmChoice& choice, const tones::SensorResponse& response) {
  const std::vector<Rhythm>& rhythms = choice.rhythms;
  if (rhythms.empty()) return {};
  if (!response.flat()) return {cycle::figures_of_tones(tones, tones.mean, rhythms), {}};
  if (rhythms.size() == 1) return {cycle_figures(light, rhythms), {}};
  cycle::TwoRhythms apart = cycle::take_apart(light, choice);
  return {apart.together ? std::move(apart.together) : cycle_figures(light, rhythms),
          std::move(apart.alone)};
}

}  // namespace lampbeat::signal::measurement
