#pragma once

#include <cmath>
#include <cstddef>
#include <vector>

#include "arithmetic/alias.hpp"

namespace lampbeat::signal {

/// A sinusoid whose frequency hangs on one fundamental, order · F, or on two (a sideband),
/// order · F + other_order · G.
struct Line {
  std::size_t fundamental = 0;  ///< place in LineModel::fundamental_hz
  int order = 1;
  std::size_t other = 0;  ///< place of G; meaningless while other_order is 0
  int other_order = 0;
};

/// Which sinusoids a window is thought to hold.
struct LineModel {
  std::vector<double> fundamental_hz;
  std::vector<Line> lines;

  double hz(const Line& line) const {
    double sum = line.order * fundamental_hz[line.fundamental];
    if (line.other_order != 0) sum += line.other_order * fundamental_hz[line.other];
    return sum;
  }
};

using arithmetic::folded_hz;

}  // namespace lampbeat::signal
