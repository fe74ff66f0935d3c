#pragma once

#include <algorithm>

namespace lampbeat::reasoning::mixture {

/// How far exposures stand above and below the mean, relative to it.
struct Swing {
  double up = 0.0;
  double down = 0.0;
};

/// Michelson contrast of the darkest and the brightest.
inline double contrast_of(Swing swing) {
  if (swing.down >= 1.0) return 1.0;
  return std::min(1.0, (swing.up + swing.down) / (2.0 + swing.up - swing.down));
}

}  // namespace lampbeat::reasoning::mixture
