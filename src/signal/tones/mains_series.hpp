#pragma once

#include <optional>

#include "signal/tones/growing_series.hpp"

namespace lampbeat::signal::tones {

/// The line that tells the mains frequency: one near twice it, or else near it.
std::optional<Start> mains_start(const LineField& field);

/// Whether a line at a multiple of the mains belongs there. They stand so close together high up
/// that a stranger may fall on one by chance. Odd multiples come with uneven half cycles, which
/// show at the mains itself or thrice it first; and where chance is no longer remote, a member
/// needs a neighbour below it.
bool plausible_mains_order(const LineField& field, std::size_t line, int order,
                           const GrowingSeries& mains);

}  // namespace lampbeat::signal::tones
