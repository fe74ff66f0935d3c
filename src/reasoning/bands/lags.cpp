#include "reasoning/bands/lags.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
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

std::span<const int> lags_kept(int highest, int limit) {
  struct Kept {
    int highest = 0;
    int limit = 0;
    std::vector<int> lags;
  };
  // Rows and frames, quickly and in full, and the same again.
  constexpr std::size_t most_kept = 8;
  thread_local std::array<Kept, most_kept> kept;
  thread_local std::size_t oldest = 0;
  for (const Kept& k : kept) {
    if (k.highest == highest && k.limit == limit) return k.lags;
  }
  Kept& next = kept[oldest];
  oldest = (oldest + 1) % most_kept;
  next = {highest, limit, lags_up_to(highest, limit)};
  return next.lags;
}

}  // namespace lampbeat::reasoning::bands
