#pragma once

#include "footage/clips/plane.hpp"
#include "footage/rows/cells.hpp"

namespace lampbeat::footage {

/// Some strips of a stretch.
Cells part_of(const Cells& cells, std::size_t from, std::size_t to);

/// Rows over the unchanging scene and the frame's level, less what stands still; 0 in gaps.
Plane moving_part(const Cells& cells);

}  // namespace lampbeat::footage
