#include "signal/left_over/raw_swing.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>

#include "arithmetic/lanes.hpp"
#include "signal/course/slow_light.hpp"

namespace lampbeat::signal::left_over {
namespace {

/// Puts a reading in its place among the few that are farthest out.
template <typename Farther>
void insert(std::array<Reading, Extremes::kept>& few, std::size_t filled, const Reading& reading,
            Farther farther) {
  std::size_t place = std::min(filled, few.size());
  while (place > 0 && farther(reading.value, few[place - 1].value)) {
    if (place < few.size()) few[place] = few[place - 1];
    --place;
  }
  if (place < few.size()) few[place] = reading;
}

}  // namespace

void Extremes::add(const Window& light, double start_s) {
  constexpr std::size_t stretch = 32;
  for (std::size_t i = 0; i < light.size(); i += stretch) {
    const auto values = light.value.subspan(i, std::min(stretch, light.size() - i));
    if (readings_ >= kept &&
        !arithmetic::any_outside(values, low_.back().value, high_.back().value)) {
      readings_ += values.size();
      continue;
    }
    for (std::size_t k = i; k < i + values.size(); ++k)
      add({light.value[k], start_s + light.time_at(k)});
  }
}

void Extremes::add(const Reading& reading) {
  const bool full = readings_ >= kept;
  if (!full || reading.value < low_.back().value) {
    insert(low_, readings_, reading, std::less<>());
  }
  if (!full || reading.value > high_.back().value) {
    insert(high_, readings_, reading, std::greater<>());
  }
  ++readings_;
}

Reading Extremes::at(const Few& few, std::size_t rank) const {
  return readings_ == 0 ? Reading{} : few[std::min({rank, readings_ - 1, kept - 1})];
}

LevelRange swing_of(const Extremes& extremes) {
  constexpr double stands_off = 0.1;
  const double others =
      extremes.highest(Extremes::kept - 1).value - extremes.lowest(Extremes::kept - 1).value;
  const auto beside_strays = [&](auto&& ranked) {
    std::size_t rank = 0;
    for (std::size_t next = 1; next < Extremes::kept; ++next) {
      if (std::abs(ranked(next) - ranked(next - 1)) > stands_off * others) rank = next;
    }
    return ranked(rank);
  };
  return {beside_strays([&](std::size_t rank) { return extremes.lowest(rank).value; }),
          beside_strays([&](std::size_t rank) { return extremes.highest(rank).value; })};
}

LevelRange drift_of(const course::Course::Part& part) {
  if (part.value.empty()) return {};
  const std::vector<double> rest = course::without_drift(part.value);
  LevelRange range{part.value.front() - rest.front(), part.value.front() - rest.front()};
  for (std::size_t i = 0; i < rest.size(); ++i) {
    range.lowest = std::min(range.lowest, part.value[i] - rest[i]);
    range.highest = std::max(range.highest, part.value[i] - rest[i]);
  }
  return range;
}

std::optional<Excess> beyond(const Extremes& extremes, const LevelRange& level, double reach) {
  if (extremes.empty()) return std::nullopt;
  Excess excess;
  const auto count = [&](const Reading& reading, double off) {
    if (off <= reach) return;
    ++excess.readings;
    if (off - reach <= excess.off) return;
    excess.off = off - reach;
    excess.at_s = reading.at_s;
  };
  for (std::size_t rank = 0; rank < Extremes::kept; ++rank) {
    count(extremes.lowest(rank), level.lowest - extremes.lowest(rank).value);
    count(extremes.highest(rank), extremes.highest(rank).value - level.highest);
  }
  return excess.readings > 0 ? std::optional(excess) : std::nullopt;
}

}  // namespace lampbeat::signal::left_over
