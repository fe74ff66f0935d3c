#pragma once

#include <optional>

#include "signal/cycle/folded_rhythm.hpp"
#include "signal/tones/long_term_clock.hpp"

namespace lampbeat::signal::cycle {

/// When a window begins, from the capture's first sample, and how long it lasts.
struct WindowTime {
  double start_s = 0.0;
  double duration_s = 0.0;
  double centre_s() const { return start_s + duration_s / 2.0; }
};

/// Joins the phases of one rhythm from window to window by laying each one's averaged cycle on the
/// first one's: where a few tones would see the aliases of an edge move, the edges themselves are
/// compared.
class CurveClock {
 public:
  /// The rhythm with the phase at which the first window's cycle is expected to begin in this one,
  /// so that the two lie cell on cell; as given before the first window.
  Rhythm expected(Rhythm rhythm, const WindowTime& window) const;
  /// `rhythm` is what was folded with, `expected` of this window.
  void add(const FoldedRhythm& folded, const Rhythm& rhythm, const WindowTime& window);
  std::size_t windows() const { return clock_.windows(); }
  /// Of the reference; 0 before there is one.
  std::size_t cells() const { return reference_.value.size(); }
  /// Of the rhythm; empty where it has no edges in some window, or their phases do not tell: its
  /// tones then know its frequency better.
  std::optional<tones::LongTermFrequency> result() const;
  /// What edges that slide between the samples leave of the frequency, Hz; 0 where there are none.
  double slide_hz() const;

 private:
  /// Turns of the reference at a window's centre, should the clock go on as it did.
  double expected_turns(const WindowTime& window) const;

  tones::LongTermClock clock_;
  bool edges_tell_ = true;  ///< in every window so far
  double slide_turns_ = 0.0;
  double end_s_ = 0.0;
  PhaseCurve reference_;
  double origin_s_ = 0.0;      ///< centre of the first window
  double origin_turns_ = 0.0;  ///< phase there
};

}  // namespace lampbeat::signal::cycle
