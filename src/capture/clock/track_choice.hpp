#pragma once

#include <cstddef>
#include <optional>
#include <span>

#include "capture/clock/clock_ticks.hpp"
#include "capture/clock/clock_track.hpp"
#include "capture/clock/line_region.hpp"

namespace lampbeat::capture::clock {

/// A line along the ticks of a stretch, and how far outside them it lets rows lie.
struct TrackChoice {
  ClockTrack track;
  double slack_intervals = 0.0;
};

/// The line that explains the first `count` ticks with the fewest events: the one `before`, gone
/// on, while that explains them. Empty where none does. Ticks narrower than the clock's grain are
/// widened to it.
std::optional<TrackChoice> choose_track(std::span<Tick> ticks, std::size_t count,
                                        const ClockHabit& habit,
                                        const std::optional<TrackChoice>& before);

/// The line with the interval that is stated; empty where another explains the ticks with fewer
/// events.
std::optional<TrackChoice> stated_track(std::span<Tick> ticks, std::size_t count,
                                        const ClockHabit& habit, LineRegion::Range interval_s,
                                        const std::optional<TrackChoice>& before);

/// Whether so many rows share a time that the written times cannot stay as they are.
bool comes_in_bursts(const ClockHabit& habit);

/// The line along rows that come in bursts: each burst's time is known to about a burst, to which
/// its tick is widened.
std::optional<TrackChoice> track_through_bursts(std::span<Tick> ticks, std::size_t count,
                                                const ClockHabit& habit);

}  // namespace lampbeat::capture::clock
