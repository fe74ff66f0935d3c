#include "signal/measurement/lost_level.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

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

/// Of these samples, which are anything but constant, each with noise of `noise_sd`.
std::optional<states::Reach> reach_in(std::vector<double> value, const Window& light,
                                      const tones::RhythmChoice& choice, double noise_sd) {
  const Range range = range_of(value);
  const double lift = lifted_by_swings * range.swing() - range.mean;
  for (double& x : value) x += lift;
  const auto cycle = cycle_in(Window{value, light.time_s, light.interval_s}, choice).figures;
  if (!cycle) return std::nullopt;
  // 100 (h − l)/(h + l) moves by 200 h/(h + l)² for each unit of l.
  const double sum = cycle->highest + cycle->lowest;
  const double sd = cycle->percent_flicker_sd / 100.0 * sum * sum / (2.0 * cycle->highest);
  states::Reach reach{cycle->mean - cycle->lowest - surely_sds * sd,
                      cycle->highest - cycle->mean - surely_sds * sd};
  if (choice.unrelated > 1) {
    // Rhythms taken apart and added up may go lower than the light: where it is off, a ripple on
    // it is off too. No lower than the readings do, but for their noise.
    reach.below = std::min(reach.below, range.mean - range.lowest - reading_sds * noise_sd);
    reach.above = std::min(reach.above, range.highest - range.mean - reading_sds * noise_sd);
  }
  return reach;
}

void keep_less(states::Reach& reach, const states::Reach& other, double gain) {
  reach.below = std::min(reach.below, other.below / gain);
  reach.above = std::min(reach.above, other.above / gain);
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
  std::optional<states::Reach> reach =
      reach_in({light.value.begin(), light.value.end()}, light, choice, tones.noise_sd);
  if (!reach) return std::nullopt;
  if (path.coupling_unknown) {
    // A coupling takes of a line what is undone here, and what is left is held against the reach.
    for (const double corner_hz : likely_corners_hz) {
      const auto other =
          reach_in(sensor::undone(light, {{}, corner_hz}), light, choice, tones.noise_sd);
      if (other) keep_less(*reach, *other, std::hypot(1.0, corner_hz / choice.rhythms.front().hz));
    }
  }
  const double least = strongest->amplitude / most_of_mean;
  reach->below = std::max(reach->below, least);
  reach->above = std::max(reach->above, least);
  return reach;
}

}  // namespace lampbeat::signal::measurement
