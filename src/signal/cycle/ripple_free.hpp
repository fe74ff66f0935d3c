#pragma once

#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::cycle {

/// The window's samples with its rhythms taken out, level and everything unrhythmic left in: each
/// rhythm's averaged cycle (up to 128 phases) is subtracted in turn. A sample at a switched
/// light's edge says more about when the edge came than about the light, so the level before it
/// stands in for it. Rhythms of fewer than three cycles in the window are left in.
std::vector<double> without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms);
/// The same into `rest`, whose memory is used again.
void without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms,
                     std::vector<double>& rest);

/// What is left by either way in which two rhythms can meet.
struct LeftByMeeting {
  std::vector<double> sum;  ///< side by side, as two lamps: what `without_rhythms` leaves
  /// One switching the other, as a dimmer does a rippling supply: less what the two averaged cycles
  /// times each other explain (least squares). The same as `sum` where not two of them were taken.
  std::vector<double> product;
};
void without_rhythms_either_way(const Window& window, const std::vector<Rhythm>& rhythms,
                                LeftByMeeting& left);

}  // namespace lampbeat::signal::cycle
