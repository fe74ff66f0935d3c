#pragma once

#include "signal/tones/search_state.hpp"

namespace lampbeat::signal::tones {

/// Adds the weak multiples of established fundamentals, which need not stand out of the whole
/// spectrum. False when there are none.
bool add_harmonics(Search& search);

}  // namespace lampbeat::signal::tones
