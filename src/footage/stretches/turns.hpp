#pragma once

#include <cstddef>

#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// The slowest apparent speed among a wave's harmonics, cycles per frame; 0 where one stands still.
double slowest_roll(const waves::Wave& wave);

/// Cycles that the slowest of them goes through in so many frames.
double slowest_turns(const waves::Wave& wave, std::size_t frames);

}  // namespace lampbeat::footage::stretches
