#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "footage/stretches/curve_evidence.hpp"

namespace lampbeat::footage::answer {

/// How unequal a band's depth is over the parts of a picture.
struct Equality {
  double misfit = 0.0;  ///< mean square over chance
  double depth = 0.0;   ///< common to all parts
  std::size_t parts = 0;

  bool tells() const;
  bool contradicts() const;
};

/// By brightness under the assumed curve; by brightness and by place, the worse, under each of the
/// known ones: light mixed unevenly passes for a curve otherwise (limits: curve_limits.hpp).
struct Equalities {
  Equality assumed;
  std::array<Equality, stretches::known_curves.size()> under;

  const Equality& best() const;
};
Equalities equalities_of(const stretches::CurveEvidence& evidence);

/// The picture is bright and dark enough to tell, and does not contradict the assumed curve.
bool agrees_with_curve(const stretches::CurveEvidence& evidence);

/// A curve that suits the picture better than the one the clip was decoded with: after the right
/// one, bands are as deep in the bright parts as in the dark, and on the left as on the right.
struct BetterCurve {
  stretches::Curve curve = stretches::Curve::bt709;
  double deeper = 1.0;  ///< bands under it over those under the assumed curve
  double least = 1.0;   ///< the same of all curves that suit it about as well, the assumed included
  double most = 1.0;
  double bright = 1.0;  ///< depth in the brightest parts over that in the darkest, as assumed
};

/// Empty where the picture does not contradict the assumed curve, or none explains it better (other
/// light dilutes the bands from place to place), or it is too even to tell.
std::optional<BetterCurve> better_curve(const stretches::CurveEvidence& evidence);

}  // namespace lampbeat::footage::answer
