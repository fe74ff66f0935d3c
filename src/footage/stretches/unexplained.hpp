#pragma once

#include <vector>

#include "footage/stretches/parts.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// What the typical cell still does beyond noise, relative to its light: its residual over time,
/// less what the differences from frame to frame make of it. Under a lamp the scene stands still
/// and the waves explain each cell; a moving camera carries everything else past it too, of which
/// waves explain but a part. What moves with one of `diluted`, more here and less there, does not
/// count: other light dilutes a lamp's rhythm from place to place.
double unexplained_cells(const Parts& parts, const std::vector<waves::Wave>& diluted);

/// What the rows still do together beyond noise: typical size of the residual's means over blocks
/// of rows, less what the differences between neighbouring rows make of them.
double unexplained_rows(const clips::Plane& residual);

}  // namespace lampbeat::footage::stretches
