#include "footage/waves/still_bands.hpp"

#include <algorithm>
#include <cmath>

#include "footage/waves/still_limits.hpp"
#include "footage/waves/still_spread.hpp"

namespace lampbeat::footage::waves {

namespace {

// What light ripples at beyond is too faint to be told from a scene.
constexpr int highest_still_order = 4;
// Of the highest order, a little above the two that sampling asks for.
constexpr double blocks_per_cycle = 3.0;
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

std::optional<StillWave> wave_in(const StillTraits& traits) {
  const StepFit& fit = traits.fit;
  if (fit.bands < fewest_in_still || traits.alike_strips < most_strips * traits.usable_strips) {
    return std::nullopt;
  }
  const bool soft = traits.edges < soft_edges * std::abs(fit.amplitude.front());
  const bool like_bands = fit.bands < few_in_still && soft;
  return StillWave{
      wave_of(fit, traits.steps),
      like_bands && fit.left_share < little_else && traits.usable_strips >= fewest_strips,
      like_bands && fit.left_share < leading};
}

}  // namespace

StillTraits still_traits(const StepFit& coarse, const std::vector<float>& scene,
                         const rows::Cells& layout) {
  StillTraits traits;
  traits.steps = steps_for(coarse.bands, scene, layout);
  traits.fit = with_harmonics(
      at_best_bands(fit_steps(traits.steps, coarse.bands, coarse.orders), traits.steps),
      traits.steps);
  for (std::size_t s = 0; s < traits.steps.strips; ++s) {
    const auto share = share_in_strip(traits.steps, traits.fit, s);
    if (!share) continue;
    ++traits.usable_strips;
    traits.alike_strips += std::abs(*share - 1.0) < shows ? 1 : 0;
  }
  for (std::size_t k = 1; k < traits.fit.orders.size(); ++k) {
    traits.edges += std::abs(traits.fit.amplitude[k]);
  }
  return traits;
}

StillBands bands_in_still(const std::vector<float>& scene, const rows::Cells& layout) {
  StillBands still;
  const StillSurvey surveyed = survey(scene, layout);
  if (!surveyed.hidden) return still;
  const double contrast = std::tanh(*surveyed.hidden);
  if (contrast < beyond_saying) still.smallest_seen = contrast;
  const auto best = best_candidate(surveyed, scene, layout);
  if (best && best->surprise > surprising) {
    still.found = wave_in(still_traits(*best, scene, layout));
  }
  return still;
}

}  // namespace lampbeat::footage::waves
