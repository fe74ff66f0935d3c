#include "signal/states/least_missed.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::states {

namespace {

double median_or_zero(const WindowValues& values) { return values.empty() ? 0.0 : values.median(); }

/// The strongest tone over the level, tones weighted by a power of their frequency.
double strongest_weighted(const Epoch& epoch, double power) {
  double most = 0.0;
  for (const ToneSeries& series : epoch.first().series) {
    for (const Tone& tone : series.tones) {
      most = std::max(most, tone.amplitude / epoch.level() * std::pow(tone.hz, power));
    }
  }
  return most;
}

/// Which states are worst for some figure.
std::vector<bool> worst_for_some(const std::vector<Epoch>& epochs) {
  std::vector<bool> worst(epochs.size());
  const auto keep_worst = [&](auto figure) {
    const auto it =
        std::max_element(epochs.begin(), epochs.end(),
                         [&](const Epoch& a, const Epoch& b) { return figure(a) < figure(b); });
    worst[static_cast<std::size_t>(it - epochs.begin())] = true;
  };
  keep_worst([](const Epoch& e) { return median_or_zero(e.figures.percents); });
  keep_worst([](const Epoch& e) { return median_or_zero(e.figures.indices); });
  keep_worst([](const Epoch& e) { return e.level(); });
  keep_worst([](const Epoch& e) { return strongest_weighted(e, -1.0); });  // slow, for eyes
  keep_worst([](const Epoch& e) { return strongest_weighted(e, 1.0); });   // fast, for cameras
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    keep_worst([&](const Epoch& e) { return e.figures.lowpass[cut_off].percent; });
  }
  return worst;
}

}  // namespace

std::optional<std::size_t> least_missed(const std::vector<Epoch>& epochs, std::size_t current) {
  const std::vector<bool> worst = worst_for_some(epochs);
  std::optional<std::size_t> shortest;
  for (std::size_t i = 0; i < epochs.size(); ++i) {
    if (worst[i] || i == current) continue;
    if (!shortest || epochs[i].seconds() < epochs[*shortest].seconds()) shortest = i;
  }
  return shortest;
}

}  // namespace lampbeat::signal::states
