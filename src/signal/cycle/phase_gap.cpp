#include <algorithm>

#include "arithmetic/phase.hpp"
#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

double widest_phase_gap(double turns_a_sample, double samples) {
  // A hair of a turn: phases this near to each other are one for every purpose.
  constexpr double hair = 1e-12;
  // The phases next to zero on either side, and the samples that have them: with each new nearest
  // one, the gap it fell into is gone.
  double above = arithmetic::begun_turn(turns_a_sample);
  double below = 1.0 - above;
  if (samples < 2.0 || above < hair || below < hair) return 1.0;
  double sample_above = 1.0;
  double sample_below = 1.0;
  while (sample_above + sample_below < samples) {
    if (above < below) {
      below -= above;
      sample_below += sample_above;
    } else {
      above -= below;
      sample_above += sample_below;
    }
    if (above < hair || below < hair) break;
  }
  return samples < sample_above + sample_below ? above + below : std::max(above, below);
}

}  // namespace lampbeat::signal::cycle
