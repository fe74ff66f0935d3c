#pragma once

#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::measurement {

/// Sound cards block what is slower than up to some 20 Hz (common practice, no source).
inline constexpr double highest_corner_hz = 20.0;

/// The averaged cycles of a window that went through a coupling nobody told, and what that coupling
/// took of them.
///
/// A coupling bends what was flat: the longer a light stays dark, the farther its darkness rises
/// towards the mean, so that its beginning lies too low. Undone by too low a corner something of
/// that stays, undone by too high a one the end lies too low instead. Each moment of the undone
/// cycle moves in proportion to the corner, so that its depth, the farthest of all moments, is
/// convex in it: no corner up to `highest_corner_hz` makes it less than the one found here, and
/// with the true one the light goes at least as deep.
class CoupledCycle {
 public:
  CoupledCycle(const Window& recorded, const std::vector<Rhythm>& rhythms);

  /// Undone by this corner, the light goes least far below its mean; 0 where nothing need be
  /// undone.
  double corner_of_least_below_hz() const { return corner_of_least_hz(-1.0); }
  double corner_of_least_above_hz() const { return corner_of_least_hz(+1.0); }

 private:
  struct Cycle {                   ///< of one rhythm, cell by cell
    std::vector<double> recorded;  ///< less its mean
    std::vector<double> lost;      ///< to a corner at 1 Hz, less its mean
  };
  double corner_of_least_hz(double sign) const;
  /// How far all cycles together go to this side of the mean.
  double reach(double sign, double corner_hz) const;

  std::vector<Cycle> cycles_;
};

}  // namespace lampbeat::signal::measurement
