#pragma once

#include <vector>

#include "footage/clips/plane.hpp"
#include "footage/rows/cells.hpp"

namespace lampbeat::footage {

/// A stretch taken apart: each cell is scene · gain of its frame · (1 + pattern), and what is left.
struct Parts {
  const Cells& cells;
  const std::vector<float>& scene;
  const std::vector<double>& gain;
  const Plane& pattern;
};

}  // namespace lampbeat::footage
