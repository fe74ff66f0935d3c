#pragma once

#include <optional>
#include <vector>

#include "footage/waves/fit_target.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// The waves known and those that stand out of what they leave, each with its harmonics.
std::vector<waves::Wave> with_new_waves(std::vector<waves::Wave> known,
                                        const waves::FitTarget& target);

/// A wave without bands, as a global shutter records it: it shows in the frame means only.
std::optional<waves::Wave> find_pulse(const std::vector<double>& frame_mean);

/// Tries all orders of one of the waves at once; those that stand out stay.
std::vector<waves::Wave> with_harmonics_of(std::size_t which, std::vector<waves::Wave> waves,
                                           const waves::FitTarget& target);

}  // namespace lampbeat::footage::stretches
