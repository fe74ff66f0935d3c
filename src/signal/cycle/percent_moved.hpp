#pragma once

#include <cmath>

namespace lampbeat::signal::cycle {

/// How far percent flicker, 100 (high − low) / (high + low), moves when its extremes do, each by
/// itself. `high` + `low` > 0.
inline double percent_moved(double high, double low, double of_high, double of_low) {
  const double sum = high + low;
  return 200.0 / (sum * sum) * std::hypot(low * of_high, high * of_low);
}

}  // namespace lampbeat::signal::cycle
