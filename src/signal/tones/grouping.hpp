#pragma once

#include <optional>
#include <vector>

#include "signal/lines/line_fit.hpp"
#include "signal/lines/line_model.hpp"

namespace lampbeat::signal::tones {

/// What the grouping needs to know about the window.
struct GroupingContext {
  double duration_s = 1.0;
  double rate_hz = 0.0;            ///< (median) sampling rate: where frequencies fold
  std::optional<double> mains_hz;  ///< the user's word
};

/// Lines sorted into harmonic series.
struct Grouping {
  lines::LineModel model;
  std::optional<std::size_t> mains;  ///< which fundamental is the mains frequency
  /// Lone lines no stronger than this cannot be told from what folds; empty where little folds.
  std::optional<double> clutter;
};

/// Sorts lines that were fitted each by itself into series. First the mains: a line near 100 or 120
/// Hz (order 2), or else near 50 or 60 (order 1), and every whole multiple of it. Then, strongest
/// first, what remains: a harmonic of a series found before that folded at half the sampling rate,
/// a sideband of one series about another, or the start of a new free-running series, which takes
/// its own harmonics with it. A line belongs to a series only where the fit's uncertainties allow.
/// Beside a sharp-edged rhythm, whose folded harmonics fill the spectrum, lone weak lines are left
/// out.
Grouping group_lines(const lines::LineFit& free_fit, const GroupingContext& context);

}  // namespace lampbeat::signal::tones
