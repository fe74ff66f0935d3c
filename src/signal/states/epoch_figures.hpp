#pragma once

#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/spectrum.hpp"
#include "lampbeat/standards.hpp"
#include "signal/cycle/each_rhythm.hpp"
#include "signal/pulses/two_levels.hpp"
#include "signal/states/window_values.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::states {

/// One rhythm of several, folded alone.
struct RhythmFigures {
  std::size_t fundamental = 0;  ///< which rhythm of the state's: `RhythmChoice::fundamental`
  double hz = 0.0;
  WindowValues percents;  ///< its own percent flicker
};

/// JA10's figure below one cut-off.
struct LowPassFigure {
  double percent = 0.0;         ///< of the worst window, each judged by its own level
  bool in_every_window = true;  ///< so far; one window that has none leaves the light without
};

/// The cycle of a state's first window that has one.
struct TypicalCycle {
  CycleFigures figures;
  double hz = 0.0;  ///< of the first rhythm it was folded on
};

/// What figures are uncertain by because the path from the light to the samples is not quite known.
struct ResponsePlay {
  double percent = 0.0;  ///< percent flicker
  double index = 0.0;    ///< flicker index
};

/// How far the light goes to one side of its own mean, sample units, in windows that lost this
/// mean: no more than it truly does, so that a light of that mean is no shallower than the true
/// one.
struct SideReach {
  double distance = 0.0;
  /// Of the coupling that is undone to have it, and to be undone in all of the light that is
  /// related to it; 0 for none.
  double corner_hz = 0.0;
};

struct Reach {
  SideReach below;
  SideReach above;
  /// The level still moves, as while a coupling settles: that blurs the extremes, and the light
  /// seems to reach less far than it does.
  bool settling = false;
};

/// What the windows of one state say beyond their tones.
struct EpochFigures {
  std::optional<TypicalCycle> typical_cycle;
  ResponsePlay response_play;  ///< of that cycle
  std::optional<Reach> reach;  ///< the least of the windows that had settled, if any had
  int reaches = 0;             ///< so many had one
  Spectrum spectrum;
  int unrelated_rhythms = 0;
  double left_out_percent = 0.0;
  std::optional<double> lowest_mean;  ///< of a window
  std::optional<double> highest_mean;
  WindowValues percents;
  WindowValues indices;
  pulses::HeldLevels levels;  ///< which the extremes of every cycle are, where they are held
  double worst_percent_start_s = 0.0;  ///< where the window of the highest percent flicker begins
  std::vector<RhythmFigures> rhythms;  ///< where there are several
  PerCutOff<LowPassFigure> lowpass;
  /// In a state taken for steady: the strongest tone any of its windows showed, sample units.
  double strongest_doubtful = 0.0;
};

// What one more window adds, each to be called for every window of the state.

/// How many rhythms it has, and what of them no cycle holds.
void add_choice(EpochFigures& figures, const tones::RhythmChoice& choice, double mean);
/// Its cycle, folded on `hz` first.
/// `hz` is of its first rhythm, `start_s` when the window begins.
void add_cycle(EpochFigures& figures, const CycleFigures& cycle, double hz, double start_s);
/// Two rhythms that it shares, each by itself.
void add_rhythms(EpochFigures& figures, const std::vector<cycle::RhythmAlone>& alone);
void add_low_pass(EpochFigures& figures, const Window& light, const std::vector<Rhythm>& rhythms);
void add_window(EpochFigures& figures, const WindowFigures& window);
void add_reach(EpochFigures& figures, const Reach& reach);

/// Whether a rhythm of one state may be that of another.
bool same_in_two_states(double one_hz, double other_hz);

/// Takes over the figures of a state that turned out to be this one: the worst of both. `its`
/// rhythms bear the same numbers as mine.
void absorb(EpochFigures& mine, const EpochFigures& its);

}  // namespace lampbeat::signal::states
