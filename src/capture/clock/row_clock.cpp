#include "capture/clock/row_clock.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "words/numbers.hpp"

namespace lampbeat::capture::clock {
namespace {

/// A stretch is long enough to know its clock from when it lasts a second and holds so many rows
/// and ticks; it is cut at so many rows in any case.
constexpr double stretch_s = 1.0;
constexpr std::size_t fewest_rows = 256;
constexpr std::size_t fewest_ticks = 64;
constexpr std::size_t most_rows = std::size_t{1} << 18;
/// With fewer in all, nothing can be told of a clock.
constexpr std::size_t too_few_rows = 32;
/// The last ticks of a stretch wait for those behind them, which tell lost rows from jitter.
constexpr std::size_t ticks_held_back = 9;

/// A tick that moves samples by less than a twentieth of their interval to either side moves
/// nothing that matters.
constexpr double fine_tick = 0.1;

/// A recorder's clock strays so far from what its header says without contradicting it.
constexpr double same_interval = 1e-3;
/// Ticks over which the usual interval is taken.
constexpr double ticks_of_usual_interval = 16.0;

Finding interval_contradicted(const StatedInterval& stated, double printed_s) {
  return {"interval_contradicted",
          fmt::format("Line {} states {} ms between samples, the times that are printed are {} ms "
                      "apart, which is more than rounding explains. The printed times were used; "
                      "find out which is right before you rely on a frequency.",
                      stated.line, words::in_digits_at_most(1e3 * stated.interval_s, 6),
                      words::in_digits_at_most(1e3 * printed_s, 6))};
}

bool is_fine(const ClockHabit& habit) {
  return habit.repeated == 0.0 && habit.tick_s() <= fine_tick * habit.interval_s;
}

}  // namespace

void RowClock::push(const RowTime& row) {
  if (all_rows_++ == 0) first_written_s_ = row.written_s;
  last_written_s_ = row.written_s;
  printed_s_ = std::max(printed_s_, row.printed_s);
  const bool new_tick = waiting_.empty() || row.written_s != waiting_.back().written_s;
  if (passing_) {
    if (row.printed_s <= fine_tick * interval_s_) {
      last_settled_s_ = std::max(last_settled_s_, row.written_s - origin_s_);
      settled_s_.push_back(last_settled_s_);
      ++all_ticks_;
      return;
    }
    passing_ = false;
  }
  all_ticks_ += new_tick;
  ticks_waiting_ += new_tick;
  waiting_.push_back(row);
  // Times that are plainly fine enough need not wait for the stretch.
  if (waiting_.size() == fewest_rows && all_rows_ == fewest_rows && fine_so_far()) settle(false);
  // Settling may have emptied it: fine times are all passed on.
  if (new_tick && !waiting_.empty() && stretch_complete()) settle(false);
}

bool RowClock::fine_so_far() {
  find_ticks(waiting_, ticks_);
  return is_fine(habit_of(waiting_, ticks_));
}

bool RowClock::stretch_complete() const {
  const double lasts_s = waiting_.back().written_s - waiting_.front().written_s;
  return waiting_.size() >= most_rows ||
         (lasts_s >= stretch_s && waiting_.size() >= fewest_rows && ticks_waiting_ >= fewest_ticks);
}

void RowClock::finish() {
  if (!waiting_.empty()) settle(true);
  too_coarse_ = too_coarse_ || rebuilt_.rate_unknown();
}

void RowClock::settle(bool last) {
  find_ticks(waiting_, ticks_);
  const ClockHabit habit = habit_of(waiting_, ticks_);
  const bool fine = is_fine(habit) || all_rows_ < too_few_rows;
  interval_s_ = habit.interval_s;
  if (first_interval_s_ == 0.0) first_interval_s_ = habit.interval_s;
  passing_ = fine && !last;
  const bool as_it_is = fine || (!(habit.interval_s > 0.0) && !stated_);
  std::size_t count = ticks_.size();
  // The last tick may go on.
  if (!last && !as_it_is) count -= std::min(count - 1, std::min(ticks_held_back, 1 + count / 2));
  const std::size_t rows = count == ticks_.size() ? waiting_.size() : ticks_[count].first;
  if (as_it_is || !rebuild(count, habit)) {
    track_.reset();
    keep_as_written(rows);
  }
  waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(rows));
  ticks_waiting_ = ticks_.size() - count;
}

void RowClock::keep_as_written(std::size_t rows) {
  if (!any_settled_) origin_s_ = waiting_.front().written_s;
  any_settled_ = true;
  for (std::size_t i = 0; i < rows; ++i) {
    last_settled_s_ = std::max(last_settled_s_, waiting_[i].written_s - origin_s_);
    settled_s_.push_back(last_settled_s_);
  }
}

/// The stated interval's line while the times agree with it, else the one they make themselves.
std::optional<TrackChoice> RowClock::track_along(std::size_t count, const ClockHabit& habit) {
  if (stated_ && stated_holds_) {
    auto stated = stated_track(ticks_, count, habit, stated_->range(), track_);
    if (stated) return stated;
    stated_holds_ = false;
    track_.reset();
  }
  auto choice = choose_track(ticks_, count, habit, track_);
  if (choice && stated_ && !contradicted_by_s_) {
    const LineRegion::Range slope = choice->track.slope();
    const LineRegion::Range said = stated_->range();
    if (slope.high < said.low || slope.low > said.high) contradicted_by_s_ = slope.middle();
  }
  return choice;
}

/// The interval that the written times have, where it is not the stated one and no rounding, and no
/// gap between them, explains that.
std::optional<double> RowClock::contradicting_interval_s() const {
  if (!stated_ || contradicted_by_s_) return contradicted_by_s_;
  if ((rebuilt_.any() && stated_holds_) || all_rows_ < 3) return std::nullopt;
  const auto agrees = [&](double interval_s, double rounding_s) {
    const double off_s = std::abs(interval_s - stated_->interval_s);
    return off_s <= (stated_->tolerance + same_interval) * stated_->interval_s + rounding_s;
  };
  const auto steps = static_cast<double>(all_rows_ - 1);
  const double mean_s = (last_written_s_ - first_written_s_) / steps;
  const double reach = std::min(ticks_of_usual_interval, std::max(1.0, std::floor(steps / 2.0)));
  if (agrees(mean_s, printed_s_ / steps) || agrees(first_interval_s_, printed_s_ / reach)) {
    return std::nullopt;
  }
  return mean_s;
}

Findings RowClock::findings() const {
  Findings findings = rebuilt_.findings(stated_ && stated_holds_);
  if (const auto printed_s = contradicting_interval_s()) {
    findings.push_back(interval_contradicted(*stated_, *printed_s));
  }
  return findings;
}

bool RowClock::rebuild(std::size_t count, const ClockHabit& habit) {
  auto choice = track_along(count, habit);
  if (!choice && comes_in_bursts(habit)) {
    choice = track_through_bursts(ticks_, count, habit);
    if (!choice) too_coarse_ = true;
  }
  if (!choice) return false;
  const std::size_t from = settled_s_.size();
  choice->track.times(ticks_, settled_s_);
  const auto time_s = std::span<double>(settled_s_).subspan(from);
  if (!any_settled_) origin_s_ = time_s.front();
  any_settled_ = true;
  for (std::size_t i = 0; i < time_s.size(); ++i) {
    rebuilt_.moved(time_s[i] - waiting_[i].written_s);
    last_settled_s_ = time_s[i] = std::max(last_settled_s_, time_s[i] - origin_s_);
  }
  rebuilt_.add(choice->track, track_.has_value(), habit, ticks_, waiting_, time_s);
  track_ = std::move(choice);
  return true;
}

}  // namespace lampbeat::capture::clock
