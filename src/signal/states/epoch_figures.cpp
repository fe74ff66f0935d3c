#include "signal/states/epoch_figures.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::states {

namespace {

/// Frequencies of one rhythm as seen in two states: mains a percent high in one, as low in the
/// other (EN 50160); a dimmer's own clock strays by as much.
constexpr double same_cycle = 0.02;

bool of_one_cycle(const std::optional<TypicalCycle>& one,
                  const std::optional<TypicalCycle>& other) {
  if (!one || !other) return !one && !other;
  return same_in_two_states(one->hz, other->hz);
}

const SideReach& shorter(const SideReach& one, const SideReach& other) {
  return other.distance < one.distance ? other : one;
}

void absorb_cycles(EpochFigures& mine, const EpochFigures& its) {
  if (its.percents.highest() > mine.percents.highest()) {
    mine.worst_percent_start_s = its.worst_percent_start_s;
  }
  mine.percents.add(its.percents);
  mine.levels.join(its.levels);
  mine.indices.add(its.indices);
  for (const RhythmFigures& more : its.rhythms) {
    const auto same =
        std::find_if(mine.rhythms.begin(), mine.rhythms.end(),
                     [&](const RhythmFigures& r) { return r.fundamental == more.fundamental; });
    if (same == mine.rhythms.end()) {
      mine.rhythms.push_back(more);
      continue;
    }
    same->percents.add(more.percents);
  }
}

}  // namespace

bool same_in_two_states(double one_hz, double other_hz) {
  return std::abs(one_hz - other_hz) <= same_cycle * one_hz;
}

void add_choice(EpochFigures& figures, const tones::RhythmChoice& choice, double mean) {
  figures.unrelated_rhythms = std::max(figures.unrelated_rhythms, choice.unrelated);
  if (!(mean > 0.0)) return;
  figures.left_out_percent = std::max(figures.left_out_percent, 100.0 * choice.left_out / mean);
}

void add_cycle(EpochFigures& figures, const CycleFigures& cycle, double hz, double start_s) {
  if (!figures.typical_cycle) figures.typical_cycle = {cycle, hz};
  if (figures.percents.empty() || cycle.percent_flicker > figures.percents.highest()) {
    figures.worst_percent_start_s = start_s;
  }
  figures.percents.add(cycle.percent_flicker, cycle.percent_flicker_sd,
                       cycle.percent_flicker_bound);
  figures.indices.add(cycle.flicker_index, cycle.flicker_index_sd, cycle.flicker_index_bound);
}

void add_rhythms(EpochFigures& figures, const std::vector<cycle::RhythmAlone>& rhythms) {
  for (const cycle::RhythmAlone& alone : rhythms) {
    const auto known =
        std::find_if(figures.rhythms.begin(), figures.rhythms.end(),
                     [&](const RhythmFigures& r) { return r.fundamental == alone.fundamental; });
    RhythmFigures& own =
        known == figures.rhythms.end()
            ? figures.rhythms.emplace_back(RhythmFigures{alone.fundamental, alone.rhythm.hz, {}})
            : *known;
    own.percents.add(alone.folded.figures.percent_flicker, alone.folded.figures.percent_flicker_sd,
                     alone.folded.figures.percent_flicker_bound);
  }
}

void add_low_pass(EpochFigures& figures, const Window& light, const std::vector<Rhythm>& rhythms) {
  std::vector<double> rhythms_hz;
  for (const Rhythm& rhythm : rhythms) rhythms_hz.push_back(rhythm.hz);
  const auto extremes = ja10_extremes(light, rhythms_hz);
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    LowPassFigure& figure = figures.lowpass[cut_off];
    const auto& in_window = extremes[cut_off];
    if (!in_window || !(in_window->highest + in_window->lowest > 0.0)) {
      figure.in_every_window = false;
    } else {
      figure.percent = std::max(figure.percent, modulation_percent(*in_window));
    }
  }
}

void add_window(EpochFigures& figures, const WindowFigures& window) {
  figures.lowest_mean = std::min(figures.lowest_mean.value_or(*window.mean), *window.mean);
  figures.highest_mean = std::max(figures.highest_mean.value_or(*window.mean), *window.mean);
}

void add_reach(EpochFigures& figures, const Reach& reach) {
  ++figures.reaches;
  if (!figures.reach || (figures.reach->settling && !reach.settling)) {
    figures.reach = reach;
  } else if (figures.reach->settling == reach.settling) {
    figures.reach->below = shorter(figures.reach->below, reach.below);
    figures.reach->above = shorter(figures.reach->above, reach.above);
  }
}

void absorb(EpochFigures& mine, const EpochFigures& its) {
  if (its.reach) add_reach(mine, *its.reach);
  if (of_one_cycle(mine.typical_cycle, its.typical_cycle)) absorb_cycles(mine, its);
  mine.strongest_doubtful = std::max(mine.strongest_doubtful, its.strongest_doubtful);
  if (its.lowest_mean) {
    mine.lowest_mean = std::min(mine.lowest_mean.value_or(*its.lowest_mean), *its.lowest_mean);
  }
  mine.highest_mean = std::max(mine.highest_mean, its.highest_mean);  // nothing is the lowest
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    LowPassFigure& one = mine.lowpass[cut_off];
    const LowPassFigure& more = its.lowpass[cut_off];
    one.percent = std::max(one.percent, more.percent);
    one.in_every_window = one.in_every_window && more.in_every_window;
  }
}

}  // namespace lampbeat::signal::states
