#include "footage/waves/still_survey.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::waves {

namespace {

// Bands are looked at with so many blocks of rows to each, in numbers of blocks that change by
// this many at a time, down to bands of so few rows.
constexpr double blocks_per_band = 12.0;
constexpr std::size_t fewest_blocks = 24;
constexpr std::size_t blocks_at_a_time = 12;
constexpr double narrowest_band_rows = 6.0;
// Below the fewest bands that are told, so that a best fit there is known for shading.
constexpr double looked_at_below = 0.3;
// On the coarse grid a fit may miss more than half of its surprise.
constexpr double promising = 0.4 * surprising;
// What a second harmonic's two parameters gain by chance: one each, in −ln of the likelihood, and
// the choice between the two fits.
constexpr double second_costs = 2.0;
// Fits that are looked at closely, the more surprising first.
constexpr std::size_t most_kept = 12;
constexpr double apart_bands = 0.15;  // bands; closer candidates find the same
constexpr double coverage = 3.0;      // standard uncertainties
// Standard uncertainties by which the scene may take from bands that are there.
constexpr double beyond_needed = 2.0;
// Bands: the search for the best narrows from the one to the other, far below any uncertainty.
constexpr double first_improvement = 0.05;
constexpr double last_improvement = 2e-4;

/// Bands from one fit to the next: a small part of the cycle by which one more band bends the
/// pattern at the picture's edge, wider where there are many to go through.
double step_at(double bands) { return bands < 3.0 ? 0.05 : bands < 20.0 ? 0.1 : 0.2; }

std::size_t blocks_for(double bands, const rows::Cells& layout) {
  const auto blocks =
      std::max(fewest_blocks, static_cast<std::size_t>(std::ceil(blocks_per_band * bands)));
  return std::min((blocks + blocks_at_a_time - 1) / blocks_at_a_time * blocks_at_a_time,
                  layout.rows);
}

/// Half the log swing of bands that a scene may hide: what they seem to be and what the scene
/// adds, and what it takes to surprise.
double could_hide(const StepFit& fit) {
  const double needed =
      std::sqrt(fit.freedom * std::expm1(2.0 * surprising / fit.freedom)) + beyond_needed;
  return std::max(fit.log_swing + coverage * fit.log_swing_sd, needed * fit.log_swing_sd);
}

void consider(StepFit fit, std::vector<StepFit>& candidates) {
  fit.surprise -= second_costs * static_cast<double>(fit.orders.size() - 1);
  if (fit.surprise > promising) candidates.push_back(std::move(fit));
}

}  // namespace

rows::BlockSteps steps_for(double bands, const std::vector<float>& scene,
                           const rows::Cells& layout) {
  return rows::block_steps(scene, layout, blocks_for(bands, layout));
}

StillSurvey survey(const std::vector<float>& scene, const rows::Cells& layout) {
  StillSurvey found;
  double hidden = 0.0;
  rows::BlockSteps steps;
  const double most = static_cast<double>(layout.rows) / narrowest_band_rows;
  for (double bands = fewest_in_still - looked_at_below; bands < most; bands += step_at(bands)) {
    if (steps.blocks != blocks_for(bands, layout)) steps = steps_for(bands, scene, layout);
    StepFit fit = fit_steps(steps, bands, {1});
    if (!fit.fitted()) return found;
    if (bands >= fewest_in_still) hidden = std::max(hidden, could_hide(fit));
    consider(std::move(fit), found.candidates);
    // Rectified mains has a second harmonic that one wave alone would leave for scene.
    if (bands < few_in_still) consider(fit_steps(steps, bands, {1, 2}), found.candidates);
  }
  if (hidden > 0.0) found.hidden = hidden;
  std::sort(found.candidates.begin(), found.candidates.end(),
            [](const StepFit& a, const StepFit& b) { return a.surprise > b.surprise; });
  return found;
}

std::optional<StepFit> best_candidate(const StillSurvey& survey, const std::vector<float>& scene,
                                      const rows::Cells& layout) {
  std::optional<StepFit> best;
  std::vector<double> tried;
  for (const StepFit& c : survey.candidates) {
    if (tried.size() >= most_kept) break;
    const bool known = std::any_of(tried.begin(), tried.end(),
                                   [&](double b) { return std::abs(b - c.bands) < apart_bands; });
    if (known) continue;
    tried.push_back(c.bands);
    const rows::BlockSteps steps = steps_for(c.bands, scene, layout);
    StepFit fit = at_best_bands(fit_steps(steps, c.bands, c.orders), steps);
    if (fit.bands > fewest_in_still && fit.surprise > (best ? best->surprise : 0.0)) {
      best = std::move(fit);
    }
  }
  return best;
}

StepFit at_best_bands(StepFit fit, const rows::BlockSteps& steps) {
  for (double step = first_improvement; step > last_improvement; step *= 0.5) {
    for (const double side : {-1.0, 1.0}) {
      StepFit tried = fit_steps(steps, fit.bands + side * step, fit.orders);
      if (tried.left_share < fit.left_share) fit = std::move(tried);
    }
  }
  return fit;
}

}  // namespace lampbeat::footage::waves
