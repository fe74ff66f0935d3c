#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>

#include "signal/course/course.hpp"

namespace lampbeat::signal::left_over {

/// A reading and when it was taken, from the capture's first sample.
struct Reading {
  double value = 0.0;
  double at_s = 0.0;
};

/// The few lowest and highest readings of a light.
class Extremes {
 public:
  static constexpr std::size_t kept = 4;
  void add(const Window& light, double start_s);
  /// `rank` 0 is the lowest; fewer than `kept` readings repeat their last.
  Reading lowest(std::size_t rank) const { return at(low_, rank); }
  Reading highest(std::size_t rank) const { return at(high_, rank); }
  bool empty() const { return readings_ == 0; }

 private:
  using Few = std::array<Reading, kept>;
  void add(const Reading& reading);
  Reading at(const Few& few, std::size_t rank) const;
  Few low_{};
  Few high_{};
  std::size_t readings_ = 0;
};

/// Between which levels a light moved slowly.
struct LevelRange {
  double lowest = 0.0;
  double highest = 0.0;
};

/// Between the lowest and the highest reading, strays left out: one to three readings that stand
/// off from all others by more than a tenth of what those swing.
LevelRange swing_of(const Extremes& extremes);

/// The drift in a course: a straight line, or a light that warms up or fades (see `without_drift`).
LevelRange drift_of(const course::Course::Part& part);

/// How far the readings reach beyond what was found.
struct Excess {
  double off = 0.0;  ///< of the reading farthest out, sample units, > 0
  double at_s = 0.0;
  std::size_t readings = 0;  ///< so many lie beyond, counted up to `Extremes::kept` a side
};

/// What lies outside [level.lowest − reach, level.highest + reach]; empty when nothing does.
std::optional<Excess> beyond(const Extremes& extremes, const LevelRange& level, double reach);

}  // namespace lampbeat::signal::left_over
