#include "capture/clock/row_clock.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "capture/clock/time_checks.hpp"

namespace lampbeat {
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
/// Where so many rows repeat the time before, on a clock of whole ticks, the written times are no
/// times of samples, however the rows jitter.
constexpr double plainly_repeated = 0.01;
constexpr double mostly_repeated = 0.3;
/// How far outside their ticks rows may lie, in intervals, tried one after another.
constexpr std::array slacks = {0.0, 0.1, 0.25, 0.5, 1.0};
/// A clock whose line starts anew, or whose row numbers go back, more often for each of its ticks
/// has jitter beyond them; one that ticks exactly does so next to never.
constexpr double breaks_of_jitter = 0.01;
constexpr double breaks_of_exact = 0.002;
constexpr double breaks_a_loss = 0.1;
/// Jitter is looked for beside lost rows up to this, and further where the losses are so regular
/// that a rate slightly wrong explains them as well.
constexpr double jitter_beside_losses = 0.25;
constexpr double jitter_to_losses = 0.1;
/// Jitter of this part of an interval hides within a tick.
constexpr double unseen_jitter = 0.1;
/// Times that were moved about by less of an interval need no word.
constexpr double worth_saying = 0.4;
/// A rate known no better than this gives no frequency.
constexpr double worst_rate = 0.02;

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

bool RowClock::fine_so_far() const { return is_fine(habit_of(waiting_, ticks_of(waiting_))); }

bool RowClock::stretch_complete() const {
  const double lasts_s = waiting_.back().written_s - waiting_.front().written_s;
  return waiting_.size() >= most_rows ||
         (lasts_s >= stretch_s && waiting_.size() >= fewest_rows && ticks_waiting_ >= fewest_ticks);
}

void RowClock::finish() {
  if (!waiting_.empty()) settle(true);
  const double half = slope_.half();
  too_coarse_ = too_coarse_ || (rebuilt() && restarts_ == 0 && half > worst_rate * slope_.middle());
}

void RowClock::settle(bool last) {
  const std::vector<Tick> ticks = ticks_of(waiting_);
  const ClockHabit habit = habit_of(waiting_, ticks);
  const bool fine = is_fine(habit) || all_rows_ < too_few_rows;
  interval_s_ = habit.interval_s;
  passing_ = fine && !last;
  const bool as_it_is = fine || !(habit.interval_s > 0.0);
  std::size_t count = ticks.size();
  // The last tick may go on.
  if (!last && !as_it_is) count -= std::min(count - 1, std::min(ticks_held_back, 1 + count / 2));
  const std::size_t rows = count == ticks.size() ? waiting_.size() : ticks[count].first;
  if (as_it_is || !rebuild(ticks, count, habit)) {
    track_.reset();
    keep_as_written(rows);
  }
  waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(rows));
  ticks_waiting_ = ticks.size() - count;
}

void RowClock::keep_as_written(std::size_t rows) {
  if (!any_settled_) origin_s_ = waiting_.front().written_s;
  any_settled_ = true;
  for (std::size_t i = 0; i < rows; ++i) {
    last_settled_s_ = std::max(last_settled_s_, waiting_[i].written_s - origin_s_);
    settled_s_.push_back(last_settled_s_);
  }
}

bool RowClock::rebuild(std::span<const Tick> ticks, std::size_t count, const ClockHabit& habit) {
  std::vector<Tick> widened(ticks.begin(), ticks.end());
  for (Tick& tick : widened) tick.half_s = std::max(tick.half_s, habit.grain_s / 2.0);
  const bool written_times_useless = (habit.counts_grains && habit.repeated >= plainly_repeated) ||
                                     habit.repeated >= mostly_repeated;
  std::optional<ClockTrack> best;
  double best_slack = 0.0;
  const auto ticks_gone = static_cast<double>(count);
  const auto follow = [&](std::optional<ClockTrack> track, double slack) {
    if (track) track->follow(widened, count, slack * habit.interval_s);
    return track;
  };
  const auto explains = [&](const std::optional<ClockTrack>& track) {
    return track && track->breaks() <= 1.0 + breaks_of_jitter * ticks_gone;
  };
  const auto take = [&](const std::optional<ClockTrack>& track, double slack) {
    best = track;
    best_slack = slack;
  };
  if (track_) {
    if (const auto going_on = follow(track_, slack_intervals_); explains(going_on)) {
      take(going_on, slack_intervals_);
    }
  }
  if (!best) {
    const auto exact = follow(ClockTrack::begin_exact(widened, habit.interval_s), 0.0);
    const bool ticks_exactly =
        exact && exact->breaks() <= breaks_of_exact * ticks_gone + breaks_a_loss * exact->losses();
    if (ticks_exactly) take(exact, 0.0);
    for (const double slack : slacks) {
      if (best && best->events() <= 2.0) break;
      if (best && slack > jitter_beside_losses && !best->loses_regularly(widened)) break;
      if (slack > 0.0 && !written_times_useless) break;
      const auto anew =
          follow(ClockTrack::begin(widened, habit.interval_s, slack * habit.interval_s), slack);
      // Jitter that is taken for lost rows here and there makes far more events than it explains.
      if (best ? anew && anew->events() <= jitter_to_losses * best->events()
               : explains(anew) || (anew && slack == slacks.back())) {
        take(anew, slack);
        break;
      }
    }
  }
  if (!best && habit.repeated >= mostly_repeated) {
    // Rows that come in bursts: each burst's time is known to about a burst.
    for (Tick& tick : widened) tick.half_s = std::max(tick.half_s, habit.step_s);
    take(follow(ClockTrack::begin(widened, habit.interval_s, 0.0), 0.0), 0.0);
    if (!best) too_coarse_ = true;
  }
  if (!best) return false;
  slack_intervals_ = best_slack;
  accept(*best, widened);
  tick_s_ = std::max(tick_s_, habit.tick_s());
  return true;
}

void RowClock::accept(const ClockTrack& track, std::span<const Tick> ticks) {
  const std::size_t from = settled_s_.size();
  track.times(ticks, settled_s_);
  if (!any_settled_) origin_s_ = settled_s_[from];
  any_settled_ = true;
  for (std::size_t i = from; i < settled_s_.size(); ++i) {
    const double moved_s = settled_s_[i] - waiting_[i - from].written_s;
    moved_.low = std::min(moved_.low, moved_s);
    moved_.high = std::max(moved_.high, moved_s);
    last_settled_s_ = settled_s_[i] = std::max(last_settled_s_, settled_s_[i] - origin_s_);
  }
  if (rebuilt_rows_ == 0) rebuilt_from_s_ = settled_s_[from];
  rebuilt_to_s_ = last_settled_s_;
  rebuilt_rows_ += settled_s_.size() - from;
  intervals_ += track.intervals();
  restarts_ += track.restarts() + (track_ ? 0 : rebuilt_from_s_ < settled_s_[from]);
  slope_ = track.slope();
  bound_s_ = std::max(bound_s_, track.bound_s());
  miscounted_rows_ = std::max(miscounted_rows_, track.miscounted_rows());
  for (const LostRows& lost : track.lost()) {
    gaps_ += lost.rows > 0.0;
    written_twice_ += std::max(0.0, -lost.rows);
    missing_ += lost.rows;
    if (lost.rows <= longest_gap_rows_) continue;
    longest_gap_rows_ = lost.rows;
    const std::size_t row = ticks[lost.tick].first;
    longest_gap_line_ = waiting_[row].line;
    longest_gap_from_s_ = settled_s_[from + (row > 0 ? row - 1 : 0)];
  }
  track_ = track;
}

SampleClock RowClock::clock() const {
  SampleClock clock;
  if (!rebuilt() || intervals_ < 2.0) return clock;
  clock.rebuilt = true;
  clock.tick_s = tick_s_;
  const double lasts_s = rebuilt_to_s_ - rebuilt_from_s_;
  const bool one_line = restarts_ == 0;
  clock.interval_s = one_line ? slope_.middle() : lasts_s / (intervals_ - 1.0);
  const double miscounted_s = miscounted_rows_ * clock.interval_s;
  clock.time_bound_s = std::max(bound_s_, unseen_jitter * clock.interval_s) + miscounted_s;
  const double unseen = 2.0 * unseen_jitter * clock.interval_s / std::max(lasts_s, 1e-9);
  clock.rate_bound = unseen + (one_line ? slope_.half() / slope_.middle() : 0.0);
  if (!one_line || gaps_ > 0) {
    clock.rate_bound =
        std::max(clock.rate_bound,
                 (2.0 * bound_s_ + miscounted_s + clock.interval_s) / std::max(lasts_s, 1e-9));
  }
  return clock;
}

Findings RowClock::findings() const {
  Findings findings;
  const SampleClock found = clock();
  if (!found.rebuilt) return findings;
  if (moved_.high - moved_.low >= worth_saying * found.interval_s) {
    const double rows = found.tick_s / found.interval_s;
    findings.push_back(
        {"coarse_clock",
         fmt::format(
             "The times count in ticks of {:.4g} ms, {}. They were rebuilt from the order of the "
             "rows: {:.6g} samples a second (good to {:.2g} %), each within {:.2g} ms of its true "
             "time. Frequencies are as good as that rate; {}. Export times with more digits to be "
             "sure.",
             1e3 * found.tick_s,
             rows > 1.05 ? fmt::format("which {:.3g} samples share", rows)
                         : std::string("about as long as the samples are apart"),
             1.0 / found.interval_s, 100.0 * found.rate_bound, 1e3 * found.time_bound_s,
             restarts_ == 0
                 ? std::string("irregular delays between the rows, if there were any, cannot be "
                               "seen")
                 : fmt::format("the rows do not follow each other evenly (their line breaks {} "
                               "{}): the clock is irregular or rows were lost",
                               restarts_, restarts_ == 1 ? "time" : "times"))});
  }
  // Jitter moves rows to and fro; only what is not made up for was lost.
  if (missing_ > 0.5 && missing_ > 2.0 * (written_twice_ + restarts_)) {
    findings.push_back(
        missing_samples({missing_, gaps_, (longest_gap_rows_ + 1.0) * found.interval_s,
                         longest_gap_from_s_, longest_gap_line_, found.interval_s}));
  }
  return findings;
}

}  // namespace lampbeat
