#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "footage/answer/lamp_check.hpp"
#include "footage/waves/wave.hpp"
#include "lampbeat/clip.hpp"

namespace lampbeat::footage {

/// The published curves a clip may have been recorded with, and one as cameras' logarithmic modes
/// have it.
inline constexpr std::size_t known_curves = 6;
/// Parts a picture is divided into: by code value, and by place in three rows of five.
inline constexpr std::size_t picture_parts = 16;

/// How deep a wave is in one part of the picture, over its depth in the fit.
struct PartDepth {
  double depth = 0.0;
  double variance = 0.0;  ///< 0: too little of the picture
};
using PartDepths = std::array<PartDepth, picture_parts>;

/// The parts of the picture under one curve.
struct CurveDepths {
  PartDepths by_brightness;
  PartDepths by_place;
};

/// A wave's depth over the picture as it would be under each of the known curves, and under the
/// one the clip was decoded with.
struct CurveEvidence {
  CurveDepths assumed;
  std::array<CurveDepths, known_curves> curve;
  bool empty = true;

  /// Takes in another stretch of the same clip.
  void add(const CurveEvidence& more);
};

/// Measures it: each cell's light over time against the wave, decoded by each curve.
CurveEvidence curve_evidence(const Parts& parts, const Wave& wave);

/// The picture is bright and dark enough to tell, and does not contradict the assumed curve.
bool agrees_with_curve(const CurveEvidence& evidence);

/// A curve that suits the picture better than the one the clip was decoded with: after the right
/// one, bands are as deep in the bright parts as in the dark, and on the left as on the right.
struct BetterCurve {
  std::string name;     ///< as `--transfer` takes it; "log" for a camera's logarithmic mode
  double deeper = 1.0;  ///< bands under it over those under the assumed curve
  double least = 1.0;   ///< the same of all curves that suit it about as well, the assumed included
  double most = 1.0;
  double bright = 1.0;  ///< depth in the brightest parts over that in the darkest, as assumed
};

/// Empty where the picture does not contradict the assumed curve, or none explains it better (other
/// light dilutes the bands from place to place), or it is too even to tell.
std::optional<BetterCurve> better_curve(const CurveEvidence& evidence);

}  // namespace lampbeat::footage
