#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "capture/clock/clock_ticks.hpp"
#include "capture/clock/rebuilt_times.hpp"
#include "capture/clock/stated_interval.hpp"
#include "capture/clock/track_choice.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/finding.hpp"

namespace lampbeat::capture::clock {

/// Gives every row of a table its best time. Times finer than the samples stay as they are written.
/// Where the clock's tick or the printing is coarser than a tenth of the interval and one straight
/// line, time over row number, passes through every tick, the rows lie on that line, and each is
/// within its tick. Where the line breaks by whole intervals, rows were lost. An interval that the
/// table states gives the line its slope, unless the times speak against it. Works on stretches of
/// about a second; memory is bounded.
class RowClock {
 public:
  explicit RowClock(std::optional<StatedInterval> stated = std::nullopt) : stated_(stated) {}

  /// The next row's time, never decreasing.
  void push(const RowTime& row);
  /// No more rows come: settles those that are left.
  void finish();

  /// Times of the rows at the front, as far as they are settled, in seconds since the first row;
  /// `drop_settled` forgets them.
  std::span<const double> settled() const { return settled_s_; }
  void drop_settled() { settled_s_.clear(); }

  /// The clock of the rows settled so far.
  SampleClock clock() const { return rebuilt_.clock(); }
  /// Whether times were rebuilt anywhere.
  bool rebuilt() const { return rebuilt_.any(); }
  /// coarse_clock, missing_samples where the line breaks, and interval_contradicted.
  Findings findings() const;
  /// Too few ticks to know how fast the rows follow each other; only after `finish`.
  bool too_coarse() const { return too_coarse_; }
  std::uint64_t tick_count() const { return all_ticks_; }

 private:
  bool fine_so_far();
  bool stretch_complete() const;
  void settle(bool last);
  bool rebuild(std::size_t count, const ClockHabit& habit);
  std::optional<TrackChoice> track_along(std::size_t count, const ClockHabit& habit);
  std::optional<double> contradicting_interval_s() const;
  void keep_as_written(std::size_t rows);

  std::vector<RowTime> waiting_;
  std::vector<Tick> ticks_;  ///< of those, while they are settled
  std::size_t ticks_waiting_ = 0;
  std::vector<double> settled_s_;
  bool any_settled_ = false;
  double origin_s_ = 0.0;  ///< the first row's time, from which all are counted
  double last_settled_s_ = 0.0;
  bool passing_ = false;  ///< times are fine enough to be passed on as they come
  double interval_s_ = 0.0;

  std::optional<StatedInterval> stated_;
  bool stated_holds_ = true;                 ///< as far as times were rebuilt
  std::optional<double> contradicted_by_s_;  ///< the interval that rebuilt times have instead
  double first_interval_s_ = 0.0;            ///< usual one of the first stretch
  double first_written_s_ = 0.0;
  double last_written_s_ = 0.0;
  double printed_s_ = 0.0;  ///< the coarsest

  std::optional<TrackChoice> track_;  ///< of the rows settled last, where they were rebuilt
  RebuiltTimes rebuilt_;

  std::uint64_t all_rows_ = 0;
  std::uint64_t all_ticks_ = 0;
  bool too_coarse_ = false;
};

}  // namespace lampbeat::capture::clock
