#pragma once

#include <vector>

#include "footage/waves/wave.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage {

/// Which light the waves come from and how long the camera reads: frequencies and readout follow
/// from each other through bands = frequency · readout. Fills `lights`, `readout_s`, `light` and
/// findings of a result that has its figures; `smallest_seen` is an amplitude.
void name_the_light(const std::vector<Wave>& waves, double fps, double smallest_seen,
                    const FootageSettings& settings, FootageResult& result);

}  // namespace lampbeat::footage
