#pragma once

#include <vector>

#include "signal/cycle/extreme_boxes.hpp"

namespace lampbeat::signal::cycle {

/// By how much a box's mean lies below what it would read were it no wider than a point.
struct WidthError {
  double value = 0.0;
  double sd = 0.0;
  /// With which power of the width it grows: 1 at a cusp or beside an edge, 2 on a round crest; 0
  /// where the light is level as far as can be seen.
  double power = 0.0;
};

/// Of each box but the last, from how the readings fall from one width to the next (Richardson,
/// Phil. Trans. A 226, 1927, with the powers taken from the data). On a crest or a cusp the fall
/// from w to 2w is (2^q − 1) times the error at w, and falls that follow each other are 2^q to one,
/// q between 1 and 2; beside an edge two falls tell how steep the light runs up to it and how it
/// bends. `cells` of a cycle: what falls over a large part of it does not fall by one power.
std::vector<WidthError> width_errors(const std::vector<BoxReading>& boxes, std::size_t cells);

}  // namespace lampbeat::signal::cycle
