#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/stretches/curves.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// Parts a picture is divided into: by code value, and by place in three rows of five.
inline constexpr std::size_t picture_parts = 16;

/// Share of an equal depth by which rounding, compression and stray light move that of a part.
constexpr double least_depth_sd = 0.015;

/// How deep a wave is in one part of the picture, over its depth in the fit.
struct PartDepth {
  double depth = 0.0;
  double variance = 0.0;
};
/// Empty where too little of the picture is in a part.
using PartDepths = std::array<std::optional<PartDepth>, picture_parts>;

/// The parts of the picture under one curve.
struct CurveDepths {
  PartDepths by_brightness;
  PartDepths by_place;
};

/// A wave's depth over the picture as it would be under each of the known curves, and under the
/// one the clip was decoded with.
struct CurveEvidence {
  CurveDepths assumed;
  std::array<CurveDepths, known_curves.size()> curve;
};

/// Measures it: each cell's light over time, its frame's gain divided out, against the wave,
/// decoded by each curve.
CurveEvidence curve_evidence(const rows::Cells& cells, const std::vector<float>& scene,
                             const std::vector<double>& gain, const waves::Wave& wave);

/// The evidence of two stretches of the same clip together.
CurveEvidence joined(CurveEvidence one, const CurveEvidence& more);

}  // namespace lampbeat::footage::stretches
