#include "capture/clock/track_choice.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace lampbeat::capture::clock {
namespace {

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
/// With no more events than these a line needs no better one.
constexpr double few_events = 2.0;

/// The ticks of a stretch, of which the first `count` are to be explained.
struct Stretch {
  std::span<const Tick> ticks;
  std::size_t count;
  const ClockHabit& habit;
};

/// Every tick reaches at least so far to either side.
void widen(std::span<Tick> ticks, double least_half_s) {
  for (Tick& tick : ticks) tick.half_s = std::max(tick.half_s, least_half_s);
}

std::optional<TrackChoice> followed(std::optional<ClockTrack> track, const Stretch& stretch,
                                    double slack_intervals) {
  if (!track) return std::nullopt;
  track->follow(stretch.ticks, stretch.count, slack_intervals * stretch.habit.interval_s);
  return TrackChoice{*std::move(track), slack_intervals};
}

bool explains(const TrackChoice& choice, const Stretch& stretch) {
  return choice.track.breaks() <= 1.0 + breaks_of_jitter * static_cast<double>(stretch.count);
}

/// The line of a clock that ticks exactly; empty where it breaks too often for one.
std::optional<TrackChoice> exact_track(const Stretch& stretch) {
  auto exact =
      followed(ClockTrack::begin_exact(stretch.ticks, stretch.habit.interval_s), stretch, 0.0);
  if (!exact) return exact;
  const double may_break =
      breaks_of_exact * static_cast<double>(stretch.count) + breaks_a_loss * exact->track.losses();
  return exact->track.breaks() <= may_break ? exact : std::nullopt;
}

bool written_times_useless(const ClockHabit& habit) {
  return (habit.counts_grains && habit.repeated >= plainly_repeated) || comes_in_bursts(habit);
}

/// Whether jitter of so much may be the better explanation.
bool worth_trying(double slack, const std::optional<TrackChoice>& best, const Stretch& stretch) {
  if (slack > 0.0 && !written_times_useless(stretch.habit)) return false;
  if (!best) return true;
  return best->track.events() > few_events &&
         (slack <= jitter_beside_losses || best->track.loses_regularly(stretch.ticks));
}

/// The line with the least jitter that explains the ticks, or `best` where none does much better.
std::optional<TrackChoice> track_with_jitter(const Stretch& stretch,
                                             std::optional<TrackChoice> best) {
  for (const double slack : slacks) {
    if (!worth_trying(slack, best, stretch)) break;
    const double interval_s = stretch.habit.interval_s;
    auto anew =
        followed(ClockTrack::begin(stretch.ticks, interval_s, slack * interval_s), stretch, slack);
    if (!anew) continue;
    // Jitter that is taken for lost rows here and there makes far more events than it explains.
    const bool better = best ? anew->track.events() <= jitter_to_losses * best->track.events()
                             : explains(*anew, stretch) || slack == slacks.back();
    if (better) return anew;
  }
  return best;
}

}  // namespace

bool comes_in_bursts(const ClockHabit& habit) { return habit.repeated >= mostly_repeated; }

std::optional<TrackChoice> choose_track(std::span<Tick> ticks, std::size_t count,
                                        const ClockHabit& habit,
                                        const std::optional<TrackChoice>& before) {
  widen(ticks, habit.grain_s / 2.0);
  const Stretch stretch{ticks, count, habit};
  if (before) {
    auto going_on = followed(before->track, stretch, before->slack_intervals);
    if (explains(*going_on, stretch)) return going_on;
  }
  return track_with_jitter(stretch, exact_track(stretch));
}

std::optional<TrackChoice> stated_track(std::span<Tick> ticks, std::size_t count,
                                        const ClockHabit& habit, LineRegion::Range interval_s,
                                        const std::optional<TrackChoice>& before) {
  widen(ticks, habit.grain_s / 2.0);
  const Stretch stretch{ticks, count, habit};
  auto stated =
      followed(before ? before->track : ClockTrack::begin_stated(ticks, interval_s), stretch, 0.0);
  if (!stated || stated->track.events() == 0.0) return stated;
  const auto learned = track_with_jitter(stretch, exact_track(stretch));
  const bool worse = learned && learned->track.events() < stated->track.events();
  return worse ? std::nullopt : stated;
}

std::optional<TrackChoice> track_through_bursts(std::span<Tick> ticks, std::size_t count,
                                                const ClockHabit& habit) {
  widen(ticks, std::max(habit.grain_s / 2.0, habit.step_s));
  const Stretch stretch{ticks, count, habit};
  return followed(ClockTrack::begin(stretch.ticks, habit.interval_s, 0.0), stretch, 0.0);
}

}  // namespace lampbeat::capture::clock
