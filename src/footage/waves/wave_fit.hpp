#pragma once

#include <vector>

#include "footage/waves/fit_target.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::waves {

/// Improves waves from good starting values: rolls, bands and all amplitudes together
/// (Levenberg–Marquardt), with their standard uncertainties for the target's noise.
std::vector<Wave> refined(std::vector<Wave> waves, const FitTarget& target);

/// The same with rolls and bands kept as they are.
std::vector<Wave> with_best_amplitudes(std::vector<Wave> waves, const FitTarget& target);

/// The best of the rolls and bands around the wave's, for a single harmonic.
Wave best_around(const Wave& wave, const FitTarget& target);

}  // namespace lampbeat::footage::waves
