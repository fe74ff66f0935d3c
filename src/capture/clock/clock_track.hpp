#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "capture/clock/clock_ticks.hpp"
#include "capture/clock/line_region.hpp"

namespace lampbeat::capture::clock {

/// Rows that were lost before a tick, so that its row numbers move on; negative when rows were
/// written twice.
struct LostRows {
  std::size_t tick = 0;
  double rows = 0.0;
};

/// A straight line through the ticks of a stretch, with its breaks: where rows were lost it goes on
/// a whole number of intervals later, where the clock's rate has changed it starts anew.
class ClockTrack {
 public:
  /// For a clock that ticks exactly: learns the interval from short runs of ticks that one line
  /// explains. Rows lost within a run only make its line steeper, so no run's steepest line is less
  /// steep than the truth, and the least of them is the best bound.
  static std::optional<ClockTrack> begin_exact(std::span<const Tick> ticks, double interval_s);

  /// For a clock with jitter, by which times lie up to `slack_s` outside their ticks: learns the
  /// interval from the longest run. Empty when no line explains even a few ticks.
  static std::optional<ClockTrack> begin(std::span<const Tick> ticks, double interval_s,
                                         double slack_s);

  /// For a clock whose interval is stated.
  static std::optional<ClockTrack> begin_stated(std::span<const Tick> ticks,
                                                LineRegion::Range interval_s);

  /// Goes along the first `count` of the ticks; those behind serve to judge breaks.
  void follow(std::span<const Tick> ticks, std::size_t count, double slack_s);

  /// Times of the rows of those ticks, one after another.
  void times(std::span<const Tick> ticks, std::vector<double>& time_s) const;

  const std::vector<LostRows>& lost() const { return lost_; }
  int restarts() const { return restarts_; }
  /// Breaks that lost rows do not explain: the line starts anew, or row numbers go back.
  double breaks() const { return restarts_ + went_back_; }
  double losses() const { return static_cast<double>(lost_.size()) - went_back_; }
  double events() const { return static_cast<double>(lost_.size()) + restarts_; }
  /// Rows lost by chance are spaced at random, as far apart as they vary; where the interval is
  /// slightly wrong, rows seem to be lost at an even pace.
  bool loses_regularly(std::span<const Tick> ticks) const;
  LineRegion::Range slope() const { return region_.slope(); }
  /// How far a time given by `times` may be from the truth where lost rows were counted right, and
  /// by how many more rows it may be off where they were not.
  double bound_s() const { return bound_s_; }
  double miscounted_rows() const { return miscounted_rows_; }
  /// Rows of the stretch, lost ones included.
  double intervals() const { return intervals_; }

 private:
  static std::optional<ClockTrack> from_slopes(std::span<const Tick> ticks, LineRegion::Range slope,
                                               double slack_s);
  ClockTrack(LineRegion region, double slack_s) : region_(std::move(region)), slack_s_(slack_s) {}

  double row(std::size_t place) const { return base_ + static_cast<double>(place); }
  bool keep(LineRegion& region, const Tick& tick, double shift) const;
  struct Shift {
    double rows = 0.0;
    double doubt = 0.0;  ///< how far the count may be off
  };
  Shift surviving_shift(std::span<const Tick> ticks, std::size_t k) const;
  void start_anew(const Tick& tick);
  void note_bound(const Tick& tick);

  struct Piece {
    std::size_t first_tick = 0;
    LineRegion::Line line;
    double base = 0.0;
  };

  LineRegion region_;
  double slack_s_ = 0.0;
  double base_ = 0.0;  ///< number, along the line, of the row at place 0 of the stretch
  // Of the latest stretch:
  std::vector<Piece> pieces_;
  std::vector<double> shift_;  ///< by tick: what lost rows add to its row numbers
  std::vector<LostRows> lost_;
  int restarts_ = 0;
  int went_back_ = 0;
  double bound_s_ = 0.0;
  double miscounted_rows_ = 0.0;  ///< by how many the count of lost rows may be off at any time
  double intervals_ = 0.0;
  std::size_t rows_ = 0;
};

}  // namespace lampbeat::capture::clock
