#pragma once

#include <cstddef>
#include <cstdint>
#include <memory_resource>
#include <span>
#include <vector>

#include "reasoning/bands/cycle.hpp"

namespace lampbeat::reasoning::bands {

/// The lags at which pairs are looked for, in either direction, and where they read the tables of
/// these cycles: that stays the same from one weighing to the next.
class LagTable {
 public:
  /// `lags`, in rising order, and `memory` have to outlive it.
  LagTable(std::span<const Cycle> cycles, std::span<const int> lags, double unit_s,
           std::pmr::memory_resource* memory);

  /// The most promising lags, best first: the best of all, and the best of those better than their
  /// neighbours, which for slow rhythms are the tops of different hills; up to `wanted` of each. A
  /// lag below 0 has its dark sample before the bright one. The same cycles, weighed.
  std::vector<int> promising(std::span<const Cycle> cycles, std::size_t wanted);

 private:
  void score(std::span<const Cycle> cycles);

  std::span<const int> lags_;
  std::pmr::vector<std::int32_t> shift_;  ///< cycle by cycle, forwards and then backwards
  std::pmr::vector<float> part_;
  std::pmr::vector<float> score_;  ///< forwards and then backwards
};

}  // namespace lampbeat::reasoning::bands
