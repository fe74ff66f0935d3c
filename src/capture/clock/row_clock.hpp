#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "capture/clock/clock_ticks.hpp"
#include "capture/clock/clock_track.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/finding.hpp"

namespace lampbeat {

/// Gives every row of a table its best time. Times finer than the samples stay as they are written.
/// Where the clock's tick or the printing is coarser than a tenth of the interval and one straight
/// line, time over row number, passes through every tick, the rows lie on that line, and each is
/// within its tick. Where the line breaks by whole intervals, rows were lost. Works on stretches of
/// about a second; memory is bounded.
class RowClock {
 public:
  /// The next row's time, never decreasing.
  void push(const RowTime& row);
  /// No more rows come: settles those that are left.
  void finish();

  /// Times of the rows at the front, as far as they are settled, in seconds since the first row;
  /// `drop_settled` forgets them.
  std::span<const double> settled() const { return settled_s_; }
  void drop_settled() { settled_s_.clear(); }

  /// The clock of the rows settled so far.
  SampleClock clock() const;
  /// Whether times were rebuilt anywhere.
  bool rebuilt() const { return rebuilt_rows_ > 0; }
  /// coarse_clock, and missing_samples where the line breaks.
  Findings findings() const;
  /// Too few ticks to know how fast the rows follow each other; only after `finish`.
  bool too_coarse() const { return too_coarse_; }
  std::uint64_t tick_count() const { return all_ticks_; }

 private:
  bool fine_so_far() const;
  bool stretch_complete() const;
  void settle(bool last);
  bool rebuild(std::span<const Tick> ticks, std::size_t count, const ClockHabit& habit);
  void accept(const ClockTrack& track, std::span<const Tick> ticks);
  void keep_as_written(std::size_t rows);

  std::vector<RowTime> waiting_;
  std::size_t ticks_waiting_ = 0;
  std::vector<double> settled_s_;
  bool any_settled_ = false;
  double origin_s_ = 0.0;  ///< the first row's time, from which all are counted
  double last_settled_s_ = 0.0;
  bool passing_ = false;  ///< times are fine enough to be passed on as they come
  double interval_s_ = 0.0;

  std::optional<ClockTrack> track_;
  double slack_intervals_ = 0.0;

  std::uint64_t all_rows_ = 0;
  std::uint64_t all_ticks_ = 0;
  std::uint64_t rebuilt_rows_ = 0;
  double tick_s_ = 0.0;  ///< the coarsest that was rebuilt
  double bound_s_ = 0.0;
  double miscounted_rows_ = 0.0;
  double rebuilt_from_s_ = 0.0;
  double rebuilt_to_s_ = 0.0;
  double intervals_ = 0.0;  ///< between those two, lost rows included
  int restarts_ = 0;
  LineRegion::Range slope_;
  LineRegion::Range moved_{HUGE_VAL, -HUGE_VAL};  ///< rebuilt less written times
  std::uint64_t gaps_ = 0;
  double missing_ = 0.0;
  double written_twice_ = 0.0;
  double longest_gap_rows_ = 0.0;
  double longest_gap_from_s_ = 0.0;
  std::uint64_t longest_gap_line_ = 0;
  bool too_coarse_ = false;
};

}  // namespace lampbeat
