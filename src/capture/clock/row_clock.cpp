#include "capture/clock/row_clock.hpp"

#include <algorithm>
#include <utility>

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

bool is_fine(const ClockHabit& habit) {
  return habit.repeated == 0.0 && habit.tick_s() <= fine_tick * habit.interval_s;
}

}  // namespace

void RowClock::push(const RowTime& row) {
  ++all_rows_;
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
  passing_ = fine && !last;
  const bool as_it_is = fine || !(habit.interval_s > 0.0);
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

bool RowClock::rebuild(std::size_t count, const ClockHabit& habit) {
  auto choice = choose_track(ticks_, count, habit, track_);
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
