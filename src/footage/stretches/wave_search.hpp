#pragma once

#include <optional>
#include <vector>

#include "footage/waves/fit_target.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage {

/// The waves known and those that stand out of what they leave, each with its harmonics.
std::vector<Wave> with_new_waves(std::vector<Wave> known, const FitTarget& target);

/// A wave without bands, as a global shutter records it: it shows in the frame means only.
std::optional<Wave> find_pulse(const std::vector<double>& frame_mean);

/// Tries all orders of one of the waves at once; those that stand out stay.
std::vector<Wave> with_harmonics_of(std::size_t which, std::vector<Wave> waves,
                                    const FitTarget& target);

}  // namespace lampbeat::footage
