#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lampbeat/window.hpp"
#include "signal/pulses/two_levels.hpp"

namespace lampbeat::signal::pulses {

/// The clock of a light's pulses over all of a capture.
struct PulseClock {
  double hz = 0.0;  ///< pulses counted, over their time: the mean, however the clock strayed
  double hz_sd = 0.0;
  double spread = 0.0;  ///< standard deviation of the pulses' intervals, of their mean
  double stray = 0.0;   ///< the same without what samples that lie between the pulses add to it
};

/// What one window's pulses are.
struct WindowPulses {
  std::vector<double> rise_s;  ///< from the window's first sample
  /// They do not come as evenly as those of a steady clock, seen between samples, do.
  bool stray = false;
};

/// Counts the pulses of a switched light from window to window. Where the clock strays within a
/// window no line is a line and no fold is sharp, but each pulse is one still. Memory is constant.
class PulseTrain {
 public:
  /// `levels` as from `two_levels`; empty ends the train for good.
  WindowPulses add(const Window& window, double start_s, const std::optional<TwoLevels>& levels);
  /// Empty where a window was not switched or left out, where pulses may have gone unseen, and
  /// where the clock keeps steady: then phases tell it better. `one_light`: no other clock took
  /// over on the way; otherwise it must stray within most windows.
  std::optional<PulseClock> straying(bool one_light) const;

 private:
  void take(double rise_s);
  bool strays_over_all() const;

  bool broken_ = false;
  double end_s_ = 0.0;       ///< of the last window
  double interval_s_ = 0.0;  ///< of its samples
  int side_ = 0;             ///< of its last sample: 1 high, -1 low, 0 before the first
  double seconds_ = 0.0;
  double straying_s_ = 0.0;   ///< in windows that stray
  double reference_s_ = 0.0;  ///< an interval to tell all others against
  double rises_ = 0.0;
  double first_s_ = 0.0;
  double last_s_ = 0.0;
  double shortest_s_ = 0.0;
  double longest_s_ = 0.0;
  struct Late {  ///< sums over the rises, of how late they are by the reference
    double s = 0.0, ss = 0.0;
    double place_s = 0.0;  ///< times their number
  } late_;
  double interval_squares_ = 0.0;  ///< of how far intervals are from the reference
};

/// Share of the time at the high level, from the first rise to the last.
struct OnShare {
  double value = 0.0;
  double sd = 0.0;
};

/// Empty for fewer than three whole pulses.
std::optional<OnShare> on_share(const Window& window, const TwoLevels& levels,
                                const WindowPulses& pulses);

}  // namespace lampbeat::signal::pulses
