#pragma once

#include "footage/clips/plane.hpp"
#include "footage/rows/cells.hpp"

namespace lampbeat::footage::stretches {

/// Rows over the unchanging scene and the frame's level, less what stands still; 0 in gaps.
clips::Plane moving_part(const rows::Cells& cells);

}  // namespace lampbeat::footage::stretches
