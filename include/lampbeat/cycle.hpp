#pragma once

#include <optional>
#include <vector>

#include "lampbeat/window.hpp"

namespace lampbeat {

/// Extremes and areas of the light's cycle, sensor noise averaged out.
struct CycleFigures {
  double highest = 0.0;  ///< sample units
  double lowest = 0.0;
  double mean = 0.0;
  /// 100 (highest − lowest)/(highest + lowest); CIE e-ILV "amplitude of fluctuation".
  double percent_flicker = 0.0;
  double percent_flicker_sd = 0.0;
  /// Of that, what other windows of the same capture share: the cells' width, gaps between the
  /// sampled phases, a converter's steps. The rest is noise and averages out over windows.
  double percent_flicker_bound = 0.0;
  /// Area above the mean over total area of one cycle; ANSI/IES LS-1 5.9.9.4.
  double flicker_index = 0.0;
  double flicker_index_sd = 0.0;
  double flicker_index_bound = 0.0;  ///< as above
  /// The averaged cycle of the first rhythm over evenly spaced phases, sample units; for plots.
  std::vector<double> shape;
};

/// One rhythm to fold on: a fundamental and its phase (rad) at the window's first sample.
struct Rhythm {
  double hz = 0.0;
  double phase_rad = 0.0;
  /// So many pulses make one period (a dimmer that lengthens every fourth one): phases are that
  /// much finer to tell.
  int pulses = 1;
};

/// Folds a window on one rhythm, or on two unrelated ones at once (a torus of two phases), averages
/// by phase, and takes extremes and areas of the average. Noise does not inflate them: the place of
/// an extreme is chosen in one half of the cycles and read in the other half. Square edges stay
/// square (nothing is reconstructed from a truncated series).
/// `rhythms` holds one or two entries. Empty result when the window holds fewer than three cycles
/// of the slower rhythm, or when mean or highest + lowest is not positive.
std::optional<CycleFigures> cycle_figures(const Window& window, const std::vector<Rhythm>& rhythms);

}  // namespace lampbeat
