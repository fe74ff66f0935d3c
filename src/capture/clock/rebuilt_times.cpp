#include "capture/clock/rebuilt_times.hpp"

#include <algorithm>
#include <string>

#include <fmt/format.h>

#include "capture/clock/time_checks.hpp"
#include "words/numbers.hpp"

namespace lampbeat::capture::clock {
namespace {

/// Jitter of this part of an interval hides within a tick.
constexpr double unseen_jitter = 0.1;
/// Times that were moved about by less of an interval need no word.
constexpr double worth_saying = 0.4;
/// A rate known no better than this gives no frequency.
constexpr double worst_rate = 0.02;
/// Keeps quotients finite.
constexpr double shortest_s = 1e-9;

}  // namespace

void RebuiltTimes::moved(double by_s) {
  moved_.low = std::min(moved_.low, by_s);
  moved_.high = std::max(moved_.high, by_s);
}

void RebuiltTimes::add(const ClockTrack& track, bool goes_on, const ClockHabit& habit,
                       std::span<const Tick> ticks, std::span<const RowTime> rows,
                       std::span<const double> time_s) {
  if (rows_ == 0) from_s_ = time_s.front();
  to_s_ = time_s.back();
  rows_ += time_s.size();
  intervals_ += track.intervals();
  const bool new_line_later = !goes_on && from_s_ < time_s.front();
  restarts_ += track.restarts() + new_line_later;
  slope_ = track.slope();
  bound_s_ = std::max(bound_s_, track.bound_s());
  miscounted_rows_ = std::max(miscounted_rows_, track.miscounted_rows());
  tick_s_ = std::max(tick_s_, habit.tick_s());
  count_lost(track, ticks, rows, time_s);
}

void RebuiltTimes::count_lost(const ClockTrack& track, std::span<const Tick> ticks,
                              std::span<const RowTime> rows, std::span<const double> time_s) {
  for (const LostRows& lost : track.lost()) {
    gaps_ += lost.rows > 0.0;
    written_twice_ += std::max(0.0, -lost.rows);
    missing_ += lost.rows;
    if (lost.rows <= longest_gap_rows_) continue;
    longest_gap_rows_ = lost.rows;
    const std::size_t row = ticks[lost.tick].first;
    longest_gap_line_ = rows[row].line;
    longest_gap_from_s_ = time_s[row > 0 ? row - 1 : 0];
  }
}

bool RebuiltTimes::rate_unknown() const {
  return any() && restarts_ == 0 && slope_.half() > worst_rate * slope_.middle();
}

SampleClock RebuiltTimes::clock() const {
  SampleClock clock;
  if (!any() || intervals_ < 2.0) return clock;
  clock.rebuilt = true;
  clock.tick_s = tick_s_;
  const double lasts_s = to_s_ - from_s_;
  const bool one_line = restarts_ == 0;
  clock.interval_s = one_line ? slope_.middle() : lasts_s / (intervals_ - 1.0);
  const double miscounted_s = miscounted_rows_ * clock.interval_s;
  clock.time_bound_s = std::max(bound_s_, unseen_jitter * clock.interval_s) + miscounted_s;
  const double unseen = 2.0 * unseen_jitter * clock.interval_s / std::max(lasts_s, shortest_s);
  clock.rate_bound = unseen + (one_line ? slope_.half() / slope_.middle() : 0.0);
  if (!one_line || gaps_ > 0) {
    clock.rate_bound =
        std::max(clock.rate_bound, (2.0 * bound_s_ + miscounted_s + clock.interval_s) /
                                       std::max(lasts_s, shortest_s));
  }
  return clock;
}

Finding RebuiltTimes::coarse_clock(const SampleClock& clock, bool by_stated) const {
  const double rows_a_tick = clock.tick_s / clock.interval_s;
  return {"coarse_clock",
          fmt::format(
              "The times count in ticks of {} ms, {}. They were rebuilt from the order of the "
              "rows{}: {} samples a second (good to {} %), each within {} ms of its true "
              "time. Frequencies are as good as that rate; {}. Export times with more digits to be "
              "sure.",
              words::in_digits_at_most(1e3 * clock.tick_s, 4),
              rows_a_tick > 1.05
                  ? fmt::format("which {} samples share", words::in_digits_at_most(rows_a_tick, 3))
                  : std::string("about as long as the samples are apart"),
              by_stated ? " and the interval the header states" : "",
              words::in_digits_at_most(1.0 / clock.interval_s, 6),
              words::in_digits_at_most(100.0 * clock.rate_bound, 2),
              words::in_digits_at_most(1e3 * clock.time_bound_s, 2),
              restarts_ == 0
                  ? std::string("irregular delays between the rows, if there were any, cannot be "
                                "seen")
                  : fmt::format("the rows do not follow each other evenly (their line breaks {} "
                                "{}): the clock is irregular or rows were lost",
                                restarts_, restarts_ == 1 ? "time" : "times"))};
}

Findings RebuiltTimes::findings(bool by_stated) const {
  Findings findings;
  const SampleClock found = clock();
  if (!found.rebuilt) return findings;
  if (moved_.high - moved_.low >= worth_saying * found.interval_s) {
    findings.push_back(coarse_clock(found, by_stated));
  }
  // Jitter moves rows to and fro; only what is not made up for was lost.
  if (missing_ > 0.5 && missing_ > 2.0 * (written_twice_ + restarts_)) {
    findings.push_back(
        missing_samples({missing_, gaps_, (longest_gap_rows_ + 1.0) * found.interval_s,
                         longest_gap_from_s_, longest_gap_line_, found.interval_s}));
  }
  return findings;
}

}  // namespace lampbeat::capture::clock
