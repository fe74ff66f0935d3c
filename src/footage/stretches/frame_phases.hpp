#pragma once

#include <complex>
#include <optional>
#include <vector>

#include "footage/clips/plane.hpp"
#include "footage/rows/cells.hpp"

namespace lampbeat::footage::stretches {

/// The pattern each frame shows on its own, whatever the others do: how far along its cycle the
/// light was when the frame was taken.
struct FramePhases {
  double bands = 0.0;
  /// Of each frame; empty where it says nothing.
  std::vector<std::optional<std::complex<double>>> amplitude;
  std::complex<double> second;  ///< second harmonic, relative to the square of the phase
  double depth = 0.0;           ///< typical |amplitude|
  double noise = 0.0;           ///< standard deviation of one frame's amplitude
  double left = 0.0;            ///< what the rows do beside the pattern, together
  /// How alike the left and the right half of the picture are, 0 ... 1: a lamp lights both.
  double agreement = 0.0;

  /// Standard deviation of a frame's phase, in turns.
  double phase_sd() const;
  /// Typical scatter of the frames' depths over the depth.
  double depth_scatter() const;
};

/// Fits every frame by itself with so many bands, or, where none are given, with the number that
/// explains most.
FramePhases frame_phases(const rows::Cells& cells, double bands);
FramePhases frame_phases(const rows::Cells& cells);

}  // namespace lampbeat::footage::stretches
