#pragma once

#include <optional>

#include "lampbeat/spectrum.hpp"
#include "lampbeat/tones.hpp"
#include "signal/lines/line_fit.hpp"

namespace lampbeat::signal::tones {

/// A rhythm is claimed only when the window holds this many of its cycles.
inline constexpr double fewest_cycles_of_a_rhythm = 3.0;

/// What a window was found to hold.
struct FoundLines {
  lines::LineFit fit;                ///< lines tied into series
  Spectrum left;                     ///< of what the fit leaves
  std::optional<std::size_t> mains;  ///< which fundamental is the mains frequency
  /// Lone lines no stronger than this cannot be told from what folds; empty where little folds.
  std::optional<double> clutter;
  /// Weaker lines were not looked for, whatever the noise.
  double least_amplitude = 0.0;
};

/// Searches a window: lines one by one, each round in what the last one left; then series; then the
/// weak multiples of the series found.
FoundLines search_lines(const Window& window, const ToneSettings& settings);

}  // namespace lampbeat::signal::tones
