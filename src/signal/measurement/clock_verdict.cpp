#include "signal/measurement/clock_verdict.hpp"

#include <algorithm>

#include "signal/measurement/honesty.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// Less is how the mains moves from second to second anyway.
constexpr double wander_from_hz = 0.005;

}  // namespace

ClockVerdict judge_clocks(const ToneAnalysis& tones,
                          const std::optional<tones::LongTermFrequency>& lead,
                          const tones::ClockSpread& clock) {
  ClockVerdict verdict;
  const auto free = std::find_if(
      tones.series.begin(), tones.series.end(),
      [](const ToneSeries& series) { return series.kind == SeriesKind::free_running; });
  const bool leads = free != tones.series.end() && &*free == tones::leading_series(tones);
  const bool wanders = lead && lead->wanders && lead->wander_hz > wander_from_hz;
  if (!leads && wanders) verdict.doubts.push_back(honesty::frequency_wanders(lead->wander_hz));
  if (free == tones.series.end()) return verdict;
  ToneAnalysis alone;
  alone.series = {*free};
  const double hz = tones::strongest_tone(alone)->hz;
  verdict.free_spread_percent = 0.0;
  if (const auto stray = clock.about(hz)) {
    verdict.free_spread_percent = 100.0 * stray->spread_hz / stray->hz;
    verdict.doubts.push_back(honesty::clock_wanders(stray->hz, *verdict.free_spread_percent,
                                                    stray->highest_hz - stray->lowest_hz));
  } else if (leads && wanders) {
    verdict.free_spread_percent = 100.0 * lead->wander_hz / lead->fundamental_hz;
    verdict.doubts.push_back(
        honesty::clock_wanders(hz, *verdict.free_spread_percent, 2.0 * lead->wander_hz));
  }
  return verdict;
}

}  // namespace lampbeat::signal::measurement
