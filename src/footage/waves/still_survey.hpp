#pragma once

#include <optional>
#include <vector>

#include "footage/rows/block_steps.hpp"
#include "footage/rows/cells.hpp"
#include "footage/waves/step_fit.hpp"

namespace lampbeat::footage::waves {

/// Fewer bands than this over the picture look like its shading.
constexpr double fewest_in_still = 1.2;
/// With more, a pattern of the scene is as likely as a lamp: at 100 Hz they take a readout beyond
/// a tenth of a second.
constexpr double few_in_still = 10.0;

/// −ln of the chance that a random scene fits so well at one number of bands; some hundred are
/// tried, so that one scene in ten thousand would if its steps were white. Drawn ones, whose
/// textures and things are not, do in a quarter of the pictures, mostly with more bands than are
/// told; bands on walls surprise by 33 and more (bench_footage_stills).
constexpr double surprising = 14.0;

/// The picture's steps of brightness in so many blocks of rows as a number of bands asks for.
rows::BlockSteps steps_for(double bands, const std::vector<float>& scene,
                           const rows::Cells& layout);

/// What fits at every number of bands say.
struct StillSurvey {
  /// Half the log swing of bands that the scene may hide; empty when nothing can be said.
  std::optional<double> hidden;
  std::vector<StepFit> candidates;  ///< the more surprising, most first
};
StillSurvey survey(const std::vector<float>& scene, const rows::Cells& layout);

/// The most surprising fit, once the candidates have found their own bands; empty when none has
/// more than `fewest_in_still`.
std::optional<StepFit> best_candidate(const StillSurvey& survey, const std::vector<float>& scene,
                                      const rows::Cells& layout);

/// The fit at the number of bands nearby that leaves least.
StepFit at_best_bands(StepFit fit, const rows::BlockSteps& steps);

}  // namespace lampbeat::footage::waves
