#include "signal/measurement/response_play.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numeric>
#include <vector>

#include "arithmetic/phase.hpp"
#include "signal/measurement/window_cycle.hpp"

namespace lampbeat::signal::measurement {
namespace {

/// How far the figures of other samples of the same light lie away.
states::ResponsePlay difference(const std::vector<double>& samples, const Window& light,
                                const CycleFigures& figures, const tones::RhythmChoice& choice) {
  const auto other = cycle_in(Window{samples, light.time_s, light.interval_s}, choice).figures;
  if (!other) return {};
  return {std::abs(other->percent_flicker - figures.percent_flicker),
          std::abs(other->flicker_index - figures.flicker_index)};
}

std::vector<double> smoothed_once_more(const Window& light) {
  std::vector<double> smooth(light.value.begin(), light.value.end());
  for (std::size_t i = smooth.size(); i-- > 1;) smooth[i] = (smooth[i] + smooth[i - 1]) / 2.0;
  return smooth;
}

/// Where between two samples an edge falls is not known, and with it not what the coupling took of
/// it: up to half an interval's worth, evenly distributed. Over the edges of a window that adds up
/// as a random walk does, of which taking out a straight line leaves a sixth in power.
double percent_of_edges(const Window& light, const CycleFigures& figures, double hz,
                        double corner_hz) {
  std::vector<double> step(light.size());
  for (std::size_t i = 1; i < step.size(); ++i) {
    step[i] = std::abs(light.value[i] - light.value[i - 1]);
  }
  const double edges = 2.0 * hz * light.duration_s();
  const auto most = std::clamp<std::size_t>(static_cast<std::size_t>(edges), 1, step.size());
  std::nth_element(step.begin(), step.begin() + static_cast<std::ptrdiff_t>(most - 1), step.end(),
                   std::greater<>());
  const double height =
      std::accumulate(step.begin(), step.begin() + static_cast<std::ptrdiff_t>(most), 0.0) /
      static_cast<double>(most);
  const double one = height * arithmetic::turn * corner_hz * light.interval_s / std::sqrt(12.0);
  return 100.0 * one * std::sqrt(edges / 6.0) / ((figures.highest + figures.lowest) / 2.0);
}

}  // namespace

states::ResponsePlay response_play(const Window& light, const CycleFigures& figures,
                                   const tones::RhythmChoice& choice, const SignalPath& path) {
  states::ResponsePlay play;
  if (path.response.low_pass_hz) {
    play = difference(smoothed_once_more(light), light, figures, choice);
  }
  if (path.response.high_pass_hz && !choice.rhythms.empty()) {
    play.percent = std::hypot(
        play.percent,
        percent_of_edges(light, figures, choice.rhythms.front().hz, *path.response.high_pass_hz));
  }
  if (!path.coupling_unknown) return play;
  states::ResponsePlay most;
  for (const double corner_hz : likely_corners_hz) {
    const sensor::Response coupling{{}, corner_hz};
    const auto moved = difference(sensor::undone(light, coupling), light, figures, choice);
    most.percent = std::max(most.percent, moved.percent);
    most.index = std::max(most.index, moved.index);
  }
  // Anywhere between none of it and all (GUM 4.3.7).
  play.percent = std::hypot(play.percent, most.percent / std::sqrt(3.0));
  play.index = std::hypot(play.index, most.index / std::sqrt(3.0));
  return play;
}

}  // namespace lampbeat::signal::measurement
