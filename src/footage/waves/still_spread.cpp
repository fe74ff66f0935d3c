#include "footage/waves/still_spread.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::waves {

namespace {

constexpr double two_sd = 4.0;  // of −2 ln of the likelihood ratio
// Bands: fewer are a slope; a best fit that is farther off than the widest is another pattern.
constexpr double fewest_looked_at = 0.5;
constexpr double most_farther = 1.5;
constexpr double first_step = 0.01;  // bands, then farther by half each

/// −2 ln of the likelihood ratio of two fits, steps that resemble their neighbours counted once.
double worse_by(const StepFit& fit, const StepFit& best) {
  return best.freedom / best.inflation * std::log(fit.left_share / best.left_share);
}

/// The second harmonic, where it was too faint to be kept, still bends what is left.
StepFit likeliest(const rows::BlockSteps& steps, double bands, const std::vector<int>& orders) {
  StepFit plain = fit_steps(steps, bands, orders);
  StepFit bent = fit_steps(steps, bands, {1, 2});
  return bent.left_share < plain.left_share ? bent : plain;
}

}  // namespace

StillSpread spread_of(const rows::BlockSteps& steps, const StepFit& best) {
  StillSpread spread;
  for (const double side : {-1.0, 1.0}) {
    for (double away = first_step; away <= most_farther; away *= 1.5) {
      const double bands = best.bands + side * away;
      if (bands < fewest_looked_at) break;
      const StepFit fit = likeliest(steps, bands, best.orders);
      if (worse_by(fit, best) > two_sd) continue;
      spread.bands = std::max(spread.bands, away / 2.0);
      spread.share = std::max(spread.share, std::abs(fit.log_swing / best.log_swing - 1.0) / 2.0);
    }
  }
  return spread;
}

}  // namespace lampbeat::footage::waves
