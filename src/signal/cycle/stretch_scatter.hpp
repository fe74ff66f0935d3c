#pragma once

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::cycle {

/// Standard deviation of a place anywhere in a gap, of the gap's width: 1/√12.
inline constexpr double anywhere_sd = 0.29;

/// Standard uncertainty of a figure by what its stretches scatter by, `scatter`, and by what the
/// noise must do at least, `model`: both variances of the figure. Few stretches scatter by chance
/// more or less than they should; the model counts as four of them.
inline double sd_of_stretches(double scatter, double model, double stretches) {
  constexpr double model_counts = 4.0;
  const double freedom = stretches - 1.0;
  const double both = (scatter * freedom + model * model_counts) / (freedom + model_counts);
  return std::sqrt(std::max(model, both));
}

}  // namespace lampbeat::signal::cycle
