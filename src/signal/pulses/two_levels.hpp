#pragma once

#include <optional>

#include "lampbeat/window.hpp"

namespace lampbeat::signal::pulses {

/// One of the two levels of a switched light, sample units.
struct Level {
  double value = 0.0;
  double sd = 0.0;        ///< of `value`
  double noise_sd = 0.0;  ///< of one sample
  double samples = 0.0;
};

/// A light that is switched between two levels.
struct TwoLevels {
  Level high, low;
  /// Either level is level: its samples scatter about it by no more than from one to the next. Then
  /// the levels are the light's extremes, whatever its clock does.
  bool flat = false;
  /// Of a converter whose codes the samples are; 0 when none shows.
  double step = 0.0;

  double middle() const { return (high.value + low.value) / 2.0; }
  double swing() const { return high.value - low.value; }
};

/// Empty where too many samples lie between two levels, or the levels are not far enough apart for
/// noise never to be taken for an edge.
std::optional<TwoLevels> two_levels(const Window& window);

/// Whether a light keeps to two levels from window to window.
class HeldLevels {
 public:
  /// `levels` of a window that keeps to them; nullptr where it does not.
  void add(const TwoLevels* levels);
  bool held() const { return held_; }
  void join(const HeldLevels& other);

 private:
  struct Mean {  ///< of the windows' levels
    double weight = 0.0, sum = 0.0;
    bool take(const Level& level, double least_sd);
  };
  bool held_ = true;
  Mean high_, low_;
};

}  // namespace lampbeat::signal::pulses
