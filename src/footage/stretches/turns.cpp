#include "footage/stretches/turns.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"

namespace lampbeat::footage {

double slowest_roll(const Wave& wave) {
  double slowest = 0.5;  // faster folds back
  for (const Harmonic& h : wave.harmonics) {
    const double cycles = h.order * wave.roll;
    slowest = std::min(slowest, arithmetic::off_whole(cycles));
  }
  return slowest;
}

double slowest_turns(const Wave& wave, std::size_t frames) {
  return slowest_roll(wave) * static_cast<double>(frames);
}

}  // namespace lampbeat::footage
