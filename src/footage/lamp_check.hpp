#pragma once

#include <vector>

#include "footage/cells.hpp"
#include "footage/plane.hpp"
#include "footage/wave.hpp"

namespace lampbeat::footage {

/// A stretch taken apart: each cell is scene · gain of its frame · (1 + pattern), and what is left.
struct Parts {
  const Cells& cells;
  const std::vector<float>& scene;
  const std::vector<double>& gain;
  const Plane& pattern;
};

/// How much a wave differs between strips of columns and parts of the stretch: the typical
/// deviation of its amplitude there beyond noise, over the amplitude itself. A lamp lights all
/// columns in one rhythm and keeps on doing so; structure of the scene that a moving camera carries
/// past does neither, since other columns hold other structure.
double disagreement(const Parts& parts, const Wave& wave);

/// What the rows still do together beyond noise: typical size of the residual's means over blocks
/// of rows, less what the differences between neighbouring rows make of them.
double unexplained_rows(const Plane& residual);

}  // namespace lampbeat::footage
