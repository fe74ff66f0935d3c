#pragma once

#include <optional>

#include "lampbeat/finding.hpp"
#include "lampbeat/tones.hpp"
#include "signal/tones/clock_spread.hpp"
#include "signal/tones/steadiness.hpp"

namespace lampbeat::signal::measurement {

/// How steady the clocks behind a light's rhythms were.
struct ClockVerdict {
  /// Of a rhythm free of the mains, standard deviation in % of its frequency; 0 when no more than
  /// noise explains, empty without such a rhythm.
  std::optional<double> free_spread_percent;
  Findings doubts;
};

/// `lead`: the frequency of the strongest rhythm over its state; `stray`: of the strongest free one
/// over all states.
ClockVerdict judge_clocks(const ToneAnalysis& tones,
                          const std::optional<tones::LongTermFrequency>& lead,
                          const tones::ClockSpread& stray);

}  // namespace lampbeat::signal::measurement
