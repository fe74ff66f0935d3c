#include "capture/clock/clock_track.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::capture::clock {
namespace {

/// Ticks after a break that must agree on how many rows were lost there.
constexpr std::size_t ticks_that_agree = 3;
constexpr std::size_t ticks_ahead = 8;
/// And those that may still tell which of several numbers it was.
constexpr std::size_t ticks_that_tell = 64;
/// How far a clock's rate may have moved where its line has to start anew.
constexpr double rate_may_move = 0.003;
/// No line is steeper than a few usual intervals a row.
constexpr double steepest = 4.0;

/// Times are read from decimals; two of them are equal up to their last bits.
double ulp_s(const Tick& tick) { return 4e-16 * std::abs(tick.written_s) + 1e-15; }

/// A run of ticks that one line explains.
struct Run {
  std::size_t ticks = 0;
  double rows = 0.0;
  LineRegion::Range slope;
};

/// The run from tick `from` on, of `most` ticks at most; its rows are numbered from its first.
Run run_from(std::span<const Tick> ticks, std::size_t from, std::size_t most, double most_slope,
             double slack_s) {
  const Tick& first = ticks[from];
  const double reach_s = first.half_s + slack_s + ulp_s(first);
  LineRegion region({first.written_s - reach_s, first.written_s + reach_s}, {0.0, most_slope});
  const std::size_t end = std::min(ticks.size(), from + most);
  std::size_t to = from;
  for (; to < end; ++to) {
    const Tick& t = ticks[to];
    const double half_s = t.half_s + slack_s + ulp_s(t);
    if (!region.keep(static_cast<double>(t.first - first.first), t.written_s - half_s,
                     static_cast<double>(t.last - first.first), t.written_s + half_s)) {
      break;
    }
  }
  return {to - from, static_cast<double>(ticks[to - 1].last - first.first), region.slope()};
}

}  // namespace

std::optional<ClockTrack> ClockTrack::from_slopes(std::span<const Tick> ticks,
                                                  LineRegion::Range slope, double slack_s) {
  const Tick& first = ticks.front();
  const double reach_s = first.half_s + slack_s + ulp_s(first);
  return ClockTrack(LineRegion({first.written_s - reach_s, first.written_s + reach_s},
                               {std::max(0.0, slope.low), slope.high * (1.0 + 1e-9)}),
                    slack_s);
}

std::optional<ClockTrack> ClockTrack::begin_stated(std::span<const Tick> ticks,
                                                   LineRegion::Range interval_s) {
  const Tick& first = ticks.front();
  const double reach_s = first.half_s + ulp_s(first);
  return ClockTrack(LineRegion({first.written_s - reach_s, first.written_s + reach_s}, interval_s),
                    0.0);
}

std::optional<ClockTrack> ClockTrack::begin_exact(std::span<const Tick> ticks, double interval_s) {
  LineRegion::Range slope{0.0, HUGE_VAL};
  for (std::size_t most = 2; most <= 128; most *= 2) {
    for (std::size_t from = 0; from < ticks.size();) {
      const Run run = run_from(ticks, from, most, steepest * interval_s, 0.0);
      if (run.ticks >= 2 && run.rows > 0.0 && run.slope.high < slope.high) {
        slope.high = run.slope.high;
        slope.low = std::min(run.slope.low, slope.high * (1.0 - 2.0 / run.rows));
      }
      from += std::max<std::size_t>(run.ticks, 1);
    }
  }
  if (!(slope.high < HUGE_VAL)) return std::nullopt;
  return from_slopes(ticks, slope, 0.0);
}

std::optional<ClockTrack> ClockTrack::begin(std::span<const Tick> ticks, double interval_s,
                                            double slack_s) {
  Run best;
  for (std::size_t from = 0; from < ticks.size();) {
    const Run run = run_from(ticks, from, ticks.size(), steepest * interval_s, slack_s);
    if (run.rows > best.rows) best = run;
    from += std::max<std::size_t>(run.ticks, 1);
  }
  if (best.ticks < std::min<std::size_t>(4, ticks.size())) return std::nullopt;
  // A row lost within the run may have bent its line.
  const double middle = best.slope.middle();
  const double half = 1.5 * std::max(best.slope.half(), middle / best.rows);
  if (!(middle > 0.0)) return std::nullopt;
  return from_slopes(ticks, {middle - half, middle + half}, slack_s);
}

bool ClockTrack::keep(LineRegion& region, const Tick& tick, double shift) const {
  const double half_s = tick.half_s + slack_s_ + ulp_s(tick);
  return region.keep(row(tick.first) + shift, tick.written_s - half_s, row(tick.last) + shift,
                     tick.written_s + half_s);
}

/// How many rows were lost before tick `k`: the number with which the ticks that follow go on
/// fitting the line. 0 when no number does. Where other numbers fit as many ticks, the count is off
/// by as much as they differ.
ClockTrack::Shift ClockTrack::surviving_shift(std::span<const Tick> ticks, std::size_t k) const {
  const double shift = shift_.empty() ? 0.0 : shift_.back();
  // Of the tick itself only its end may be left; the next one is whole.
  const Tick& whole = ticks[std::min(k + 1, ticks.size() - 1)];
  const double middle_row = (row(whole.first) + row(whole.last)) / 2.0 + shift;
  const LineRegion::Range there = region_.at(middle_row);
  const double expected = std::round((whole.written_s - there.middle()) / region_.slope().middle());
  const std::size_t end = std::min(ticks.size(), k + ticks_ahead);
  double best = 0.0;
  double least = 0.0;
  double greatest = 0.0;
  std::size_t most = 0;
  std::size_t longest = 0;
  const std::size_t far_end = std::min(ticks.size(), k + ticks_that_tell);
  for (int beside = -2; beside <= 2; ++beside) {
    const double more = expected + beside;
    if (more == 0.0) continue;
    LineRegion region = region_;
    std::size_t j = k;
    while (j < far_end && keep(region, ticks[j], shift + more)) ++j;
    if (j - k > longest) least = greatest = more;
    longest = std::max(longest, j - k);
    if (j - k == longest) {
      least = std::min(least, more);
      greatest = std::max(greatest, more);
    }
    const std::size_t survived = std::min(j, end) - k;
    if (survived > most || (survived == most && std::abs(more) < std::abs(best))) {
      best = more;
      most = survived;
    }
  }
  if (most < std::min(ticks_that_agree, end - k)) return {};
  return {best, std::max(best - least, greatest - best)};
}

bool ClockTrack::loses_regularly(std::span<const Tick> ticks) const {
  constexpr std::size_t fewest = 8;
  constexpr double variation_by_chance = 0.7;
  if (lost_.size() < fewest) return false;
  double sum = 0.0;
  double squares = 0.0;
  for (std::size_t i = 1; i < lost_.size(); ++i) {
    const auto rows =
        static_cast<double>(ticks[lost_[i].tick].first - ticks[lost_[i - 1].tick].first);
    sum += rows;
    squares += rows * rows;
  }
  const double mean = sum / static_cast<double>(lost_.size() - 1);
  const double variance = squares / static_cast<double>(lost_.size() - 1) - mean * mean;
  return variance < std::pow(variation_by_chance * mean, 2);
}

void ClockTrack::start_anew(const Tick& tick) {
  const double slope = region_.slope().middle();
  const double half_s = tick.half_s + slack_s_ + ulp_s(tick);
  base_ = -static_cast<double>(tick.first);
  region_ = LineRegion({tick.written_s - half_s, tick.written_s + half_s},
                       {slope * (1.0 - rate_may_move), slope * (1.0 + rate_may_move)});
  keep(region_, tick, 0.0);
  ++restarts_;
}

void ClockTrack::note_bound(const Tick& tick) {
  const double shift = shift_.empty() ? 0.0 : shift_.back();
  bound_s_ = std::max(bound_s_, region_.at(row(tick.first) + shift).half() + slack_s_);
}

void ClockTrack::follow(std::span<const Tick> ticks, std::size_t count, double slack_s) {
  slack_s_ = slack_s;
  base_ += static_cast<double>(rows_) + (shift_.empty() ? 0.0 : shift_.back());
  rows_ = 0;
  pieces_ = {Piece{}};
  shift_.clear();
  lost_.clear();
  restarts_ = 0;
  went_back_ = 0;
  bound_s_ = 0.0;
  miscounted_rows_ = 0.0;
  for (std::size_t k = 0; k < count; ++k) {
    double shift = shift_.empty() ? 0.0 : shift_.back();
    if (!keep(region_, ticks[k], shift)) {
      if (const auto [more, doubt] = surviving_shift(ticks, k); more != 0.0) {
        miscounted_rows_ = std::max(miscounted_rows_, doubt);
        shift += more;
        lost_.push_back({k, more});
        went_back_ += more < 0.0;
        keep(region_, ticks[k], shift);
      } else {
        pieces_.back().line = region_.centre();
        pieces_.back().base = base_;
        if (k > 0) note_bound(ticks[k - 1]);
        start_anew(ticks[k]);
        shift = 0.0;
        pieces_.push_back({k, {}, 0.0});
      }
    }
    shift_.push_back(shift);
  }
  pieces_.back().line = region_.centre();
  pieces_.back().base = base_;
  note_bound(ticks[pieces_.back().first_tick]);
  note_bound(ticks[count - 1]);
  rows_ = ticks[count - 1].last + 1;
  intervals_ = static_cast<double>(rows_);
  for (const LostRows& lost : lost_) intervals_ += lost.rows;
}

void ClockTrack::times(std::span<const Tick> ticks, std::vector<double>& time_s) const {
  std::size_t piece = 0;
  for (std::size_t k = 0; k < shift_.size(); ++k) {
    while (piece + 1 < pieces_.size() && k >= pieces_[piece + 1].first_tick) ++piece;
    for (std::size_t i = ticks[k].first; i <= ticks[k].last; ++i) {
      time_s.push_back(
          pieces_[piece].line.at(pieces_[piece].base + static_cast<double>(i) + shift_[k]));
    }
  }
}

}  // namespace lampbeat::capture::clock
