#include "signal/cycle/surroundings.hpp"

#include <algorithm>
#include <cstdlib>

namespace lampbeat::signal::cycle {
namespace {

/// However far away: a parabola takes two cells to either side, and two more to be judged.
constexpr std::size_t least_crest = 2;

}  // namespace

Surroundings::Surroundings(const Fold& fold, std::size_t cell, bool along_first, std::size_t most)
    : fold_(fold), cell_(cell), along_first_(along_first) {
  const double reach = static_cast<double>(length()) * widest_reach;
  for (int side : {-1, +1}) {
    auto& list = side < 0 ? before_ : after_;
    // Commensurate sampling leaves empty cells between the filled ones; enough for a flank are
    // looked for even when they lie further away.
    for (std::size_t d = 1; d <= length() / 2 && list.size() < most; ++d) {
      const bool near = static_cast<double>(d) <= reach;
      if (!near && list.size() >= flank) break;
      const std::size_t other = step(side, d, 0);
      if (!fold.usable(other)) continue;
      list.push_back({other, side * static_cast<double>(d), 0.0});
      if (near || list.size() <= least_crest) crest_ = std::max(crest_, list.size());
    }
  }
}

std::size_t Surroundings::length() const {
  return along_first_ ? fold_.resolution.first : fold_.resolution.second;
}

std::size_t Surroundings::width() const {
  return along_first_ ? fold_.resolution.second : fold_.resolution.first;
}

std::vector<Neighbour> Surroundings::strip(std::size_t before, std::size_t after) const {
  std::vector<Neighbour> cells;
  if (before > before_.size() || after > after_.size()) return cells;
  cells.push_back({cell_, 0.0, 0.0});
  cells.insert(cells.end(), before_.begin(), before_.begin() + static_cast<std::ptrdiff_t>(before));
  cells.insert(cells.end(), after_.begin(), after_.begin() + static_cast<std::ptrdiff_t>(after));
  return cells;
}

std::vector<Neighbour> Surroundings::patch(std::size_t along, std::size_t across) const {
  std::vector<Neighbour> cells;
  for (auto i = -static_cast<std::ptrdiff_t>(along); i <= static_cast<std::ptrdiff_t>(along); ++i) {
    for (auto j = -static_cast<std::ptrdiff_t>(across); j <= static_cast<std::ptrdiff_t>(across);
         ++j) {
      const std::size_t other = step(i < 0 ? -1 : 1, static_cast<std::size_t>(std::abs(i)), j);
      if (fold_.usable(other)) {
        cells.push_back({other, static_cast<double>(i), static_cast<double>(j)});
      }
    }
  }
  return cells;
}

std::size_t Surroundings::step(int side, std::size_t distance, std::ptrdiff_t across) const {
  const std::size_t columns = fold_.resolution.first;
  const std::size_t i = cell_ % columns;
  const std::size_t j = cell_ / columns;
  const auto moved = [](std::size_t from, std::ptrdiff_t by, std::size_t n) {
    const auto m = static_cast<std::ptrdiff_t>(n);
    return static_cast<std::size_t>(((static_cast<std::ptrdiff_t>(from) + by) % m + m) % m);
  };
  const auto along = side * static_cast<std::ptrdiff_t>(distance);
  const std::size_t column = moved(i, along_first_ ? along : across, columns);
  const std::size_t row = moved(j, along_first_ ? across : along, fold_.resolution.second);
  return row * columns + column;
}

}  // namespace lampbeat::signal::cycle
