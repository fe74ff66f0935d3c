#pragma once

#include <vector>

#include "lampbeat/prediction.hpp"

namespace lampbeat::page {

/// A plain wall's rows as greys of a screen, 0 to 255, from what they record relative to steady
/// light; so many rows as a picture on the page has.
std::vector<int> greys_of(const std::vector<double>& rows);

/// The wall as consecutive frames record it.
struct MovingWall {
  std::vector<std::vector<int>> frames;
  double shown_per_s = 0.0;  ///< as fast as it may be shown
  double slowed = 1.0;       ///< how much slower than filmed that is
};

/// No row of it, shown like this, flashes more often than three times a second: the web's own
/// guideline (WCAG 2.2, success criterion 2.3.1), kept however small the wall is on the screen.
MovingWall moving_wall(const Prediction& prediction);

}  // namespace lampbeat::page
