#pragma once

#include <algorithm>
#include <cstddef>

#include "signal/cycle/fold.hpp"

namespace lampbeat::signal::cycle {

/// Which cell a phase falls into, and where in it, in cell widths from its centre.
struct CellPlace {
  std::size_t cell;
  double offset;
};

/// Asked of every sample, so that it stands here to be inlined.
inline CellPlace place_in(double phase, std::size_t divisions) {
  const double n = static_cast<double>(divisions);
  double position = (phase - first_border) * n;
  if (position >= n) position -= n;
  const std::size_t cell = std::min(static_cast<std::size_t>(position), divisions - 1);
  return {cell, position - static_cast<double>(cell) - 0.5};
}

}  // namespace lampbeat::signal::cycle
