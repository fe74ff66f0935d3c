#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace lampbeat::capture::clock {

/// One row's time as the table gives it.
struct RowTime {
  double written_s = 0.0;
  double printed_s = 0.0;  ///< worth of the last digit printed, 0 when unknown
  std::uint64_t line = 0;  ///< of the file
};

/// Neighbouring rows that bear one time: somewhere within `half_s` of it, if the clock counts so.
struct Tick {
  double written_s = 0.0;
  double half_s = 0.0;
  std::size_t first = 0;  ///< rows, by their place
  std::size_t last = 0;
};

/// How the times of a stretch of rows are made.
struct ClockHabit {
  double interval_s = 0.0;     ///< roughly: the usual time from row to row
  double step_s = 0.0;         ///< the usual one from tick to tick
  double grain_s = 0.0;        ///< what the clock counts in, 0 when it does not show
  double printed_s = 0.0;      ///< the coarsest printing
  double repeated = 0.0;       ///< share of rows with the time of the row before
  bool counts_grains = false;  ///< nearly all its steps are whole numbers of grains
  double tick_s() const { return grain_s > printed_s ? grain_s : printed_s; }
};

/// Rows that share a time become one tick; half a tick is at least half the printed digit. Fills
/// `ticks`, whose memory serves one stretch after another.
void find_ticks(std::span<const RowTime> rows, std::vector<Tick>& ticks);

/// What the steps between the times tell of the clock behind them.
ClockHabit habit_of(std::span<const RowTime> rows, std::span<const Tick> ticks);

}  // namespace lampbeat::capture::clock
