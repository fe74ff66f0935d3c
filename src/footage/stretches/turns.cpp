#include "footage/stretches/turns.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"

namespace lampbeat::footage::stretches {

double slowest_roll(const waves::Wave& wave) {
  double slowest = 0.5;  // faster folds back
  for (const waves::Harmonic& h : wave.harmonics) {
    const double cycles = h.order * wave.roll;
    slowest = std::min(slowest, arithmetic::off_whole(cycles));
  }
  return slowest;
}

double slowest_turns(const waves::Wave& wave, std::size_t frames) {
  return slowest_roll(wave) * static_cast<double>(frames);
}

}  // namespace lampbeat::footage::stretches
