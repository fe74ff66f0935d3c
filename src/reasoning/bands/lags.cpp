#include "reasoning/bands/lags.hpp"

#include <algorithm>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "reasoning/bands/turns.hpp"

namespace lampbeat::reasoning::bands {

std::vector<int> lags_up_to(int highest, int limit) {
  std::vector<int> lags;
  if (highest <= 0) return lags;
  if (highest <= limit) {
    lags.resize(static_cast<std::size_t>(highest));
    for (int i = 0; i < highest; ++i) lags[static_cast<std::size_t>(i)] = i + 1;
    return lags;
  }
  // Every short lag, then ever fewer; scattered by the golden ratio so that no rhythm is in step
  // with the choice.
  const int near = limit / 2;
  for (int i = 1; i <= near; ++i) lags.push_back(i);
  const int far = limit - near;
  const double stride = static_cast<double>(highest - near) / far;
  for (int i = 0; i < far - 1; ++i) {
    const double scatter = arithmetic::begun_turn(i * std::numbers::phi);
    lags.push_back(near + 1 + static_cast<int>((i + scatter) * stride));
  }
  lags.push_back(highest);
  lags.erase(std::unique(lags.begin(), lags.end()), lags.end());
  return lags;
}

}  // namespace lampbeat::reasoning::bands
