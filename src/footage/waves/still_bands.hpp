#pragma once

#include <optional>
#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/waves/step_fit.hpp"
#include "footage/waves/still_survey.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::waves {

/// What stands in a photograph beyond what its scene would do by chance.
struct StillWave {
  /// Roll 0. Its uncertainties hold what the scene itself does at the same scale.
  Wave wave;
  /// Nothing but such bands and soft shading in the picture: told from painted stripes as far as
  /// one picture can tell.
  bool like_light = false;
  /// Other things share the picture, yet the wave is what most of its columns do together.
  bool leads = false;
};

/// What one photograph of a scene that nobody described says about bands.
struct StillBands {
  std::optional<StillWave> found;
  /// Contrast (max−min)/(max+min) below which bands may be in the picture and be taken for scene;
  /// empty when the picture is too dark, burnt out, varied or small to say.
  std::optional<double> smallest_seen;
};

/// Looks for bands in one photograph. Light multiplies all columns of a row alike, so only what
/// most strips of columns do together counts, as steps of log brightness from one block of rows to
/// the next, whose width follows the bands looked for. Scenes have edges at all scales, mean power
/// falling as 1/f² (Field 1987, J. Opt. Soc. Am. A 4, 2379); the steps of such a scene are white,
/// so least squares on steps weighs every scale as the scene fills it.
StillBands bands_in_still(const std::vector<float>& scene, const rows::Cells& layout);

/// What a fit is told from painted stripes by (limits: still_limits.hpp).
struct StillTraits {
  StepFit fit;             ///< with the harmonics that stand out
  rows::BlockSteps steps;  ///< it was fitted to
  int usable_strips = 0;   ///< that can tell how much of the pattern they show
  int alike_strips = 0;    ///< that show it as all do
  double edges = 0.0;      ///< amplitude of all harmonics beyond the first
};
StillTraits still_traits(const StepFit& coarse, const std::vector<float>& scene,
                         const rows::Cells& layout);

}  // namespace lampbeat::footage::waves
