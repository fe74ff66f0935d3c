#pragma once

#include <span>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"
#include "signal/left_over/strays.hpp"
#include "signal/spectrum/band_powers.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::left_over {

/// What is left of the window beside all that was found in it, by whichever way two rhythms meet
/// leaves less.
std::vector<double> left_beside(const Window& light, const tones::RhythmChoice& choice);

/// What one window adds to the account of all that no rhythm explains.
struct RestOfWindow {
  std::vector<double> beside;  ///< see `left_beside`
  std::vector<double>
      with_slow;               ///< the same with slow rhythms left in; empty where there are none
  spectrum::BandPowers bands;  ///< of `beside`
  Strays strays;               ///< in it
  /// For the course of the whole capture, in which slow rhythms stay.
  std::span<const double> course() const { return with_slow.empty() ? beside : with_slow; }
};

/// Whether the samples are some, and can be told apart in time.
bool enough_for_account(const Window& light);

/// Nothing but the window goes into it, so that windows may be worked on side by side. It starts
/// `start_s` into the capture, `choice` is of its `tones`; `least` is how far a reading must lie
/// off to count as stray (the converter's step). Empty where the samples are not enough.
RestOfWindow rest_of_window(const Window& light, double start_s, const ToneAnalysis& tones,
                            const tones::RhythmChoice& choice, double least);

/// Around every tone and every multiple of every rhythm, folded where it lies above half the rate:
/// frequencies that say nothing about what is left. Slowest first.
std::vector<spectrum::Gap> gaps_around(const ToneAnalysis& tones,
                                       const std::vector<Rhythm>& rhythms, double bin_hz,
                                       double rate_hz);

}  // namespace lampbeat::signal::left_over
