#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "lampbeat/shot.hpp"
#include "reasoning/judge/scene.hpp"

// Where in the tolerances of a scene's clocks to look for the least favourable moment.

namespace lampbeat::reasoning::judge {

/// One offset for each clock of the scene.
using Offsets = std::vector<double>;

/// Offsets that follow the lobes of the exposure's gain and the roll of the bands over every
/// clock's tolerance. One clock is followed at a time, while the others stand where they leave
/// most: independent rhythms add. All clocks at rest come first.
struct Looks {
  std::vector<Offsets> all;
  std::size_t fullest = 0;  ///< the one in which every clock stands where its rhythms leave most
};
Looks looks_over(const Scene& scene, double exposure_s, FrameRate fps);

/// Looks on either side of one of them, up to its neighbours.
std::vector<Offsets> looks_between(const std::vector<Offsets>& looks, std::size_t at);

}  // namespace lampbeat::reasoning::judge
