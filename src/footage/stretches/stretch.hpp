#pragma once

#include <optional>
#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/stretches/curve_evidence.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// What one stretch of clip shows.
struct StretchEstimate {
  std::size_t frames = 0;
  /// Rounding to code values that nothing dithered, relative; 0 under noise or texture.
  double rounding = 0.0;
  std::vector<waves::Wave> waves;  ///< running patterns, strongest first
  bool uneven = false;             ///< the waves' rolls are not known
  double smallest_seen = 0.0;      ///< amplitude a running wave needs to be noticed
  double unrest = 0.0;             ///< typical residual of a row in a frame, relative
  double unexplained = 0.0;        ///< what the rows did together beside the waves
  double scenery = 0.0;  ///< amplitude of what ran through the rows but was no lamp's doing
  std::optional<CurveEvidence> curves;  ///< of the strongest running wave, where there is one
  std::vector<float> scene;             ///< per cell, the light that does not change
  std::vector<double> frame_means;      ///< relative, patterns and exposure automatic in them
};

/// Separates the running bands from the scene, the exposure automatic and people in the shot.
/// Needs at least `fewest_frames`; waves stays empty when nothing runs.
StretchEstimate analyse(const rows::Cells& cells);

/// Fewer leave no noise to judge by beside level, roll and depth.
constexpr std::size_t fewest_frames = 8;

}  // namespace lampbeat::footage::stretches
