#pragma once

#include <vector>

#include "footage/clips/plane.hpp"
#include "footage/rows/cells.hpp"
#include "footage/waves/wave.hpp"

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

/// What the typical cell still does beyond noise, relative to its light: its residual over time,
/// less what the differences from frame to frame make of it. Under a lamp the scene stands still
/// and the waves explain each cell; a moving camera carries everything else past it too, of which
/// waves explain but a part. What moves with one of `diluted`, more here and less there, does not
/// count: other light dilutes a lamp's rhythm from place to place.
double unexplained_cells(const Parts& parts, const std::vector<Wave>& diluted);

/// What the rows still do together beyond noise: typical size of the residual's means over blocks
/// of rows, less what the differences between neighbouring rows make of them.
double unexplained_rows(const Plane& residual);

}  // namespace lampbeat::footage
