#pragma once

#include <vector>

#include "footage/clips/plane.hpp"
#include "footage/rows/cells.hpp"

namespace lampbeat::footage::stretches {

/// A stretch taken apart: each cell is scene · gain of its frame · (1 + pattern), and what is left.
struct Parts {
  const rows::Cells& cells;
  const std::vector<float>& scene;
  const std::vector<double>& gain;
  const clips::Plane& pattern;
};

}  // namespace lampbeat::footage::stretches
