#pragma once

#include <array>
#include <cstddef>
#include <span>

namespace lampbeat::signal::windows {

/// A few figures of a twentieth of a second, cheap enough to be taken of every one: the mean level,
/// then octave by octave how strong the light's changes are, fastest first. Two blocks of the same
/// light differ in them by noise and by the parts of cycles at their ends.
struct BlockFigures {
  static constexpr std::size_t most_octaves = 11;
  static constexpr std::size_t figures_at_most = 1 + most_octaves;
  /// [0] the mean; [k] the root mean square of the Haar details of octave k (differences of
  /// neighbouring means of 2^(k−1) samples, halved), sample units.
  std::array<double, figures_at_most> figure{};
  std::size_t figures = 0;  ///< how many of them are used
};

/// At least 16 samples give an octave; an octave needs eight details to count.
BlockFigures figures_of_block(std::span<const double> samples);

}  // namespace lampbeat::signal::windows
