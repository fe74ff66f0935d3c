#pragma once

#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"

namespace lampbeat::signal::tones {

/// A dimmer that lengthens every so many pulses has two series, one a few times the other.
inline constexpr int few_times = 8;

/// The periods a light repeats with.
struct RhythmChoice {
  std::vector<Rhythm> rhythms;  ///< one or two, strongest first; empty for a steady light
  /// Of each of them, the tones that repeat with it.
  std::vector<std::vector<Tone>> members;
  /// Of each of them, its strongest series' `ToneSeries::fundamental`: which rhythm it is, in every
  /// window that the same tones are followed through.
  std::vector<std::size_t> fundamental;
  std::vector<Tone> traces;     ///< of the same series, but too weak to decide their period
  std::vector<Tone> others;     ///< of further rhythms
  std::vector<Tone> sidebands;  ///< of any two
  int unrelated = 0;            ///< how many unrelated rhythms there are in all
  double left_out = 0.0;        ///< summed amplitude of those beyond the second, sample units
};

/// The slowest period of each series that all its tones share: tones at 2, 4 and 6 times the mains
/// repeat at twice the mains; one at the mains itself makes it the mains period.
RhythmChoice choose_rhythms(const ToneAnalysis& tones);

/// None, every tone for itself: for lines that are no rhythm of a light.
RhythmChoice every_tone_alone(const ToneAnalysis& tones);

/// The strongest series of one rhythm, not of two: sidebands move with two clocks. nullptr when
/// there is none.
const ToneSeries* leading_series(const ToneAnalysis& tones);

/// The strongest tone of all, the lowest of those within 1 % of it; nullptr when there is none.
const Tone* strongest_tone(const ToneAnalysis& tones);

}  // namespace lampbeat::signal::tones
