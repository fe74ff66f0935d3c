#include "footage/waves/slow_modes.hpp"

#include <cmath>
#include <numbers>

namespace lampbeat::footage::waves {

void take_out_slow(std::vector<double>& series, std::size_t modes) {
  const auto count = static_cast<double>(series.size());
  for (std::size_t m = 0; m < modes && m < series.size(); ++m) {
    // Type-II cosine modes are orthogonal on evenly spaced samples, so they go one by one.
    const auto mode = [&](std::size_t n) {
      return std::cos(std::numbers::pi * static_cast<double>(m) * (static_cast<double>(n) + 0.5) /
                      count);
    };
    double sum = 0.0;
    for (std::size_t n = 0; n < series.size(); ++n) sum += series[n] * mode(n);
    sum *= (m == 0 ? 1.0 : 2.0) / count;
    for (std::size_t n = 0; n < series.size(); ++n) series[n] -= sum * mode(n);
  }
}

}  // namespace lampbeat::footage::waves
