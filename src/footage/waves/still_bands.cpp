#include "footage/waves/still_bands.hpp"

#include <algorithm>
#include <cmath>

#include "footage/waves/still_spread.hpp"

namespace lampbeat::footage::waves {

namespace {

constexpr int highest_still_order = 4;
constexpr double blocks_per_cycle = 3.0;  // of the highest order
constexpr double strip_stands_out_sd = 4.0;
// Strips that must show the pattern, and how much of it: at least half and at most half more.
constexpr double most_strips = 0.75;
constexpr double shows = 0.5;
constexpr int fewest_strips = 3;
// Told from painted stripes: little else in the picture, soft edges, few of them. Shares of what
// shading leaves, and of the first order's amplitude.
constexpr double little_else = 0.1;
constexpr double leading = 0.35;
constexpr double soft_edges = 0.35;
// Scenes of known content: their steps are not quite as white as the fit takes them for.
constexpr double lean = 1.4;
// A contrast that bounds nothing.
constexpr double beyond_saying = 0.9;

StepFit with_harmonics(const StepFit& fit, const rows::BlockSteps& steps) {
  std::vector<int> all{1};
  for (int order = 2; order <= highest_still_order; ++order) {
    if (order * fit.bands * blocks_per_cycle < static_cast<double>(steps.blocks)) {
      all.push_back(order);
    }
  }
  const StepFit rich = fit_steps(steps, fit.bands, all);
  if (!rich.fitted()) return fit;
  std::vector<int> kept{1};
  for (std::size_t k = 1; k < all.size(); ++k) {
    if (std::abs(rich.amplitude[k]) > strip_stands_out_sd * rich.amplitude_sd[k])
      kept.push_back(all[k]);
  }
  return at_best_bands(fit_steps(steps, fit.bands, kept), steps);
}

/// How many strips can tell, and how many of them show the pattern as all do.
struct Strips {
  int usable = 0;
  int alike = 0;
};

Strips strips_with(const StepFit& fit, const rows::BlockSteps& steps) {
  Strips strips;
  for (std::size_t s = 0; s < steps.strips; ++s) {
    const auto share = share_in_strip(steps, fit, s);
    if (!share) continue;
    ++strips.usable;
    strips.alike += std::abs(*share - 1.0) < shows ? 1 : 0;
  }
  return strips;
}

bool has_soft_edges(const StepFit& fit) {
  double edges = 0.0;
  for (std::size_t k = 1; k < fit.orders.size(); ++k) edges += std::abs(fit.amplitude[k]);
  return edges < soft_edges * std::abs(fit.amplitude.front());
}

Wave wave_of(const StepFit& fit, const rows::BlockSteps& steps) {
  Wave wave;
  wave.bands = fit.bands;
  const StillSpread spread = spread_of(steps, fit);
  wave.bands_sd = std::max(lean * fit.bands_sd, spread.bands);
  for (std::size_t k = 0; k < fit.orders.size(); ++k) {
    const double sd =
        std::max(lean * fit.amplitude_sd[k], spread.share * std::abs(fit.amplitude[k]));
    wave.harmonics.push_back({fit.orders[k], fit.amplitude[k], sd, {}});
  }
  return wave;
}

std::optional<StillWave> wave_in(const StepFit& coarse, const std::vector<float>& scene,
                                 const rows::Cells& layout) {
  const rows::BlockSteps steps = steps_for(coarse.bands, scene, layout);
  const StepFit fit =
      with_harmonics(at_best_bands(fit_steps(steps, coarse.bands, coarse.orders), steps), steps);
  const Strips strips = strips_with(fit, steps);
  if (fit.bands < fewest_in_still || strips.alike < most_strips * strips.usable) {
    return std::nullopt;
  }
  const bool like_bands = fit.bands < few_in_still && has_soft_edges(fit);
  return StillWave{wave_of(fit, steps),
                   like_bands && fit.left_share < little_else && strips.usable >= fewest_strips,
                   like_bands && fit.left_share < leading};
}

}  // namespace

StillBands bands_in_still(const std::vector<float>& scene, const rows::Cells& layout) {
  StillBands still;
  const StillSurvey surveyed = survey(scene, layout);
  if (!surveyed.hidden) return still;
  const double contrast = std::tanh(*surveyed.hidden);
  if (contrast < beyond_saying) still.smallest_seen = contrast;
  const auto best = best_candidate(surveyed, scene, layout);
  if (best && best->surprise > surprising) still.found = wave_in(*best, scene, layout);
  return still;
}

}  // namespace lampbeat::footage::waves
