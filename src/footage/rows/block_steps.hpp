#pragma once

#include <cstddef>
#include <vector>

#include "footage/rows/cells.hpp"

namespace lampbeat::footage::rows {

/// How the log of a scene's brightness changes from each block of rows to the next.
struct BlockSteps {
  std::size_t blocks = 0;
  std::size_t strips = 0;
  std::vector<std::size_t> from;  ///< the block each step starts at
  std::vector<double> common;     ///< median over the strips
  std::vector<double> of_strip;   ///< step by step, all strips; NaN where one cannot be used

  double place(double block) const { return (block + 0.5) / static_cast<double>(blocks); }
};

/// Steps where enough strips can be used. `scene` holds one cell per row and strip, NaN where it is
/// black or burnt out.
BlockSteps block_steps(const std::vector<float>& scene, const Cells& layout, std::size_t blocks);

}  // namespace lampbeat::footage::rows
