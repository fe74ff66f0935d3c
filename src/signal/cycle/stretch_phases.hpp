#pragma once

#include <optional>

#include <vector>

#include "signal/cycle/cell_curve.hpp"
#include "signal/cycle/phase_curve.hpp"
#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

/// A phase, or another figure of a clock, and its standard uncertainty.
struct ClockFigure {
  double value = 0.0;
  double sd = 0.0;
};

/// What a table's stretches say of its rhythm's clock.
struct StretchPhases {
  ClockFigure off_hz;  ///< by so much the rhythm is faster than it was folded with
  /// Of the phase of all stretches together, turns: by the slopes and by the edges; infinite where
  /// there are none.
  double phase_sd_by_slopes = 0.0;
  double phase_sd_by_edges = 0.0;
  /// The cycle has edges, and the stretches' phases meet there and fill the time between two
  /// samples: then edges tell more than any tones, of which those above half the rate fold onto the
  /// others.
  bool edges_tell = false;
  /// Where there are edges that do not: by so much, turns, the whole may have slid between samples.
  double slide_turns = 0.0;
};

/// From how the stretches move against each other: each one's phase by least squares, a line
/// through the phases. Empty where nothing tells a phase or the stretches move by more than a fifth
/// of a turn.
/// `others` as from `each_left_out`.
std::optional<StretchPhases> stretch_phases(const PhaseTable& table, const PhaseCurve& curve,
                                            const std::vector<CellCurve>& others);

/// Two tellings of one figure, each by its own uncertainty.
ClockFigure told_together(const ClockFigure& one, const ClockFigure& other);

}  // namespace lampbeat::signal::cycle
