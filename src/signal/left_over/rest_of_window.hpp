#pragma once

#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"
#include "signal/cycle/ripple_free.hpp"
#include "signal/left_over/strays.hpp"
#include "signal/spectrum/band_powers.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::left_over {

/// Whether the samples are some, and can be told apart in time.
bool enough_for_account(const Window& light);

/// What one window adds to the account of all that no rhythm explains. Nothing but the window goes
/// into it, so that windows may be worked on side by side; kept for the next, its memory is used
/// again.
class RestOfWindow {
 public:
  /// `light` starts `start_s` into the capture, `choice` is of its `tones`; `least` is how far a
  /// reading must lie off to count as stray (the converter's step). Nothing without
  /// `enough_for_account`.
  void find(const Window& light, double start_s, const ToneAnalysis& tones,
            const tones::RhythmChoice& choice, double least);

  /// What is left beside all that was found, by whichever way two rhythms meet leaves less.
  const std::vector<double>& beside() const {
    return product_left_less_ ? left_.product : left_.sum;
  }
  /// For the course of the whole capture, in which slow rhythms stay.
  const std::vector<double>& course() const { return slow_stay_ ? with_slow_ : beside(); }
  const spectrum::BandPowers& bands() const { return bands_; }  ///< of `beside`
  const Strays& strays() const { return strays_; }              ///< in it

 private:
  void take_out(const Window& light, const tones::RhythmChoice& choice);

  cycle::LeftByMeeting left_;
  bool product_left_less_ = false;
  std::vector<double> with_slow_;
  bool slow_stay_ = false;
  spectrum::BandPowers bands_;
  Strays strays_;
};

/// Around every tone and every multiple of every rhythm, folded where it lies above half the rate:
/// frequencies that say nothing about what is left. Slowest first.
std::vector<spectrum::Gap> gaps_around(const ToneAnalysis& tones,
                                       const std::vector<Rhythm>& rhythms, double bin_hz,
                                       double rate_hz);

}  // namespace lampbeat::signal::left_over
