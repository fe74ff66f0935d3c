#pragma once

#include <optional>

#include "lampbeat/cycle.hpp"
#include "signal/cycle/phase_curve.hpp"

namespace lampbeat::signal::cycle {

/// One rhythm of a window, folded: the figures of its cycle and what its stretches say of its
/// clock.
struct FoldedRhythm {
  CycleFigures figures;
  double folded_with_hz = 0.0;
  double hz = 0.0;                  ///< by the fold itself, nearer
  double hz_sd = 0.0;               ///< of these cycles alone, by the sample clock
  double phase_sd_by_slopes = 0.0;  ///< turns, see StretchPhases
  double phase_sd_by_edges = 0.0;
  bool edges_tell = false;  ///< as above
  double slide_turns = 0.0;
  /// From the phase zero that the rhythm was folded with.
  PhaseCurve curve;
};

/// As `cycle_figures` of one rhythm; its frequency is refined by the fold itself. `cells` as in
/// `fold`.
std::optional<FoldedRhythm> folded_rhythm(const Window& window, const Rhythm& rhythm,
                                          std::size_t cells = 0);

}  // namespace lampbeat::signal::cycle
