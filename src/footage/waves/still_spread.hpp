#pragma once

#include "footage/waves/step_fit.hpp"

namespace lampbeat::footage::waves {

/// How far the truth may be from the best fit of a few bands, as standard uncertainties.
struct StillSpread {
  double bands = 0.0;
  double share = 0.0;  ///< of an amplitude, relative to itself
};

/// Of all numbers of bands that the picture's steps allow nearly as well as `best` (a likelihood
/// ratio of two standard uncertainties; Wilks 1938, Ann. Math. Stat. 9, 60), the farthest to
/// either side, half of the way there. Where bands are few, shading and bands trade places over
/// a far wider range than the curvature at the best fit shows.
StillSpread spread_of(const rows::BlockSteps& steps, const StepFit& best);

}  // namespace lampbeat::footage::waves
