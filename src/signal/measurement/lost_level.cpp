#include "signal/measurement/lost_level.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "signal/measurement/coupled_cycle.hpp"
#include "signal/measurement/deepest.hpp"
#include "signal/measurement/window_cycle.hpp"

namespace lampbeat::signal::measurement {
namespace {

/// A level of less than this share of the swing may be no level: see `trust_level`.
constexpr double hardly_a_level = 0.1;
/// No light, however short its flashes, has a rhythm of more than twice its mean.
constexpr double most_of_mean = 2.0;
/// Folding wants a level; on one of so many swings the extremes are read to the same digits.
constexpr double lifted_by_swings = 4.0;
constexpr double surely_sds = 3.0;
/// A level that moves by this share of the swing from a window's start to its end still settles.
constexpr double settles = 0.01;
/// The lowest of some ten thousand readings stands so far below the light.
constexpr double reading_sds = 4.0;

struct Range {
  double lowest = 0.0;
  double highest = 0.0;
  double mean = 0.0;
  double swing() const { return highest - lowest; }
};

Range range_of(std::span<const double> value) {
  const auto [low, high] = std::minmax_element(value.begin(), value.end());
  double sum = 0.0;
  for (const double x : value) sum += x;
  return {*low, *high, sum / static_cast<double>(value.size())};
}

/// Of the window, which is anything but constant, undone by a coupling of this corner.
std::optional<states::Reach> reach_in(const Window& light, double corner_hz,
                                      const tones::RhythmChoice& choice, double noise_sd) {
  std::vector<double> value(light.value.begin(), light.value.end());
  if (corner_hz > 0.0) value = sensor::undone(light, {{}, corner_hz});
  const Range range = range_of(value);
  const double lift = lifted_by_swings * range.swing() - range.mean;
  for (double& x : value) x += lift;
  const auto cycle = cycle_in(Window{value, light.time_s, light.interval_s}, choice).figures;
  if (!cycle) return std::nullopt;
  // 100 (h − l)/(h + l) moves by 200 h/(h + l)² for each unit of l.
  const double sum = cycle->highest + cycle->lowest;
  const double sd = cycle->percent_flicker_sd / 100.0 * sum * sum / (2.0 * cycle->highest);
  states::Reach reach{{cycle->mean - cycle->lowest - surely_sds * sd, corner_hz},
                      {cycle->highest - cycle->mean - surely_sds * sd, corner_hz}};
  if (choice.unrelated > 1) {
    // Rhythms taken apart and added up may go lower than the light: where it is off, a ripple on
    // it is off too. No lower than the readings do, but for their noise.
    const double noise = reading_sds * noise_sd;
    reach.below.distance = std::min(reach.below.distance, range.mean - range.lowest - noise);
    reach.above.distance = std::min(reach.above.distance, range.highest - range.mean - noise);
  }
  return reach;
}

/// No light has a tone of more than twice its mean.
void keep_likely(states::SideReach& side, const Tone& strongest) {
  const double light =
      strongest.amplitude * std::abs(without_coupling(strongest.hz, side.corner_hz));
  side.distance = std::max(side.distance, light / most_of_mean);
}

}  // namespace

std::optional<states::Reach> reach_of(const Window& light, const ToneAnalysis& tones,
                                      const tones::RhythmChoice& choice, const SignalPath& path) {
  const Tone* strongest = tones::strongest_tone(tones);
  if (!strongest || choice.rhythms.empty()) return std::nullopt;
  const Range range = range_of(light.value);
  const bool has_level = range.mean > hardly_a_level * range.swing() &&
                         strongest->amplitude < most_of_mean * range.mean;
  if (has_level || !(range.swing() > 0.0)) return std::nullopt;
  std::optional<states::Reach> reach = reach_in(light, 0.0, choice, tones.noise_sd);
  if (!reach) return std::nullopt;
  if (path.coupling_unknown) {
    const CoupledCycle cycle(light, choice.rhythms);
    const auto below = reach_in(light, cycle.corner_of_least_below_hz(), choice, tones.noise_sd);
    const auto above = reach_in(light, cycle.corner_of_least_above_hz(), choice, tones.noise_sd);
    if (below) reach->below = below->below;
    if (above) reach->above = above->above;
  }
  keep_likely(reach->below, *strongest);
  keep_likely(reach->above, *strongest);
  reach->settling = std::abs(tones.change) > settles * range.swing();
  return reach;
}

}  // namespace lampbeat::signal::measurement
