#pragma once

#include <vector>

#include "footage/clips/plane.hpp"
#include "footage/rows/cells.hpp"

namespace lampbeat::footage::rows {

/// The scene without its light's rhythm: the typical light of each cell (row by row, strip by
/// strip), NaN where a cell cannot be used (burnt out, black).
std::vector<float> scene_of(const Cells& cells, const clips::Plane& pattern,
                            const std::vector<double>& gain);

/// Light of each frame and row over its scene: the median over the strips, so that somebody moving
/// in front of some of them does not count. NaN where no strip could be used.
clips::Plane ratios(const Cells& cells, const std::vector<float>& scene);

}  // namespace lampbeat::footage::rows
