#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>

#include "capture/clock/clock_ticks.hpp"
#include "capture/clock/clock_track.hpp"
#include "capture/clock/line_region.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/finding.hpp"

namespace lampbeat::capture::clock {

/// Keeps account of the times that were rebuilt, stretch by stretch: how well they are known, and
/// how many rows were lost between them.
class RebuiltTimes {
 public:
  /// A stretch of rows along `track`, and the times they were given. `goes_on`: the rows just
  /// before were rebuilt too.
  void add(const ClockTrack& track, bool goes_on, const ClockHabit& habit,
           std::span<const Tick> ticks, std::span<const RowTime> rows,
           std::span<const double> time_s);
  /// By how much a row's written time was moved.
  void moved(double by_s);

  /// Whether times were rebuilt anywhere.
  bool any() const { return rows_ > 0; }
  /// The rows lie on one line whose slope nobody can tell well enough to know a frequency.
  bool rate_unknown() const;
  /// Their clock.
  SampleClock clock() const;
  /// coarse_clock, and missing_samples where the line breaks. `by_stated`: the table's own word for
  /// the interval was followed.
  Findings findings(bool by_stated) const;

 private:
  void count_lost(const ClockTrack& track, std::span<const Tick> ticks,
                  std::span<const RowTime> rows, std::span<const double> time_s);
  Finding coarse_clock(const SampleClock& clock, bool by_stated) const;

  std::uint64_t rows_ = 0;
  double tick_s_ = 0.0;  ///< the coarsest
  double bound_s_ = 0.0;
  double miscounted_rows_ = 0.0;
  double from_s_ = 0.0;
  double to_s_ = 0.0;
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
};

}  // namespace lampbeat::capture::clock
