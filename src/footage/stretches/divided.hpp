#pragma once

#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/waves/fit_target.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// A stretch with its scene and the level of each frame divided out: what waves are looked for in.
struct Divided {
  waves::FitTarget target;
  std::vector<double> gain;        ///< of each frame: exposure automatic
  std::vector<double> frame_mean;  ///< of each frame, with the waves in it
  double unrest = 0.0;             ///< typical residual of a row in a frame, relative
  double smallest_seen = 0.0;      ///< amplitude a running wave needs to stand out of the noise
};

/// Divides the scene out, then from each frame its level, as `pattern` lets it be seen; removes
/// what the scene could imitate, pulls in rows that somebody fills, and measures the noise beside
/// the waves. `pattern` is that of the waves as far as they are known.
Divided divided(const rows::Cells& cells, const std::vector<float>& scene,
                const std::vector<waves::Wave>& waves, clips::Plane pattern);

/// What waves leave of the rows they are fitted to.
clips::Plane residual(const waves::FitTarget& target, const std::vector<waves::Wave>& waves);

/// Power of a peak over the noise around it. The largest of a million noise bins reaches about 20
/// times the median (powers of noise are exponentially distributed: ln 10^6 / ln 2); compression
/// noise has heavier tails.
constexpr double significant_power = 45.0;

/// With fewer bands the rows alone hardly tell a wave from a change of exposure: a frame's level
/// takes sinc²(bands) of the pattern's power with it, 9 % here and 40 % at half a band.
constexpr double enough_bands = 0.75;

}  // namespace lampbeat::footage::stretches
