#pragma once

#include <optional>

#include "lampbeat/tones.hpp"

namespace lampbeat::signal::tones {

/// How a light's own clock strayed over a capture.
struct ClockStray {
  double hz = 0.0;         ///< about which
  double lowest_hz = 0.0;  ///< of the windows' frequencies
  double highest_hz = 0.0;
  double spread_hz = 0.0;  ///< standard deviation, and at least a third of the way to the farthest
};

/// Follows the strongest rhythm that runs free of the mains from window to window, through every
/// state that a moving frequency makes of the light. Memory is constant.
class ClockSpread {
 public:
  void add(const ToneAnalysis& window);
  /// How it strayed about `about_hz`, the frequency that is reported; empty when no more than the
  /// fits' own uncertainties, in fewer than four windows, and when the frequency jumped once and
  /// stood still before and after, as another lamp's would.
  std::optional<ClockStray> about(double about_hz) const;

 private:
  int windows_ = 0;
  int strangers_ = 0;
  double first_hz_ = 0.0;
  double last_hz_ = 0.0;
  double sum_ = 0.0;  ///< offsets from the first
  double squares_ = 0.0;
  double variance_ = 0.0;  ///< of the fits, summed
  double lowest_ = 0.0;
  double highest_ = 0.0;
  double way_ = 0.0;  ///< all steps from window to window together
  double longest_step_ = 0.0;
};

}  // namespace lampbeat::signal::tones
