#pragma once

#include <optional>
#include <vector>

#include "footage/waves/wave.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage {

/// The waves without those that are harmonics of a stronger one: the edges of a sharply switched
/// lamp reach far beyond the orders that were fitted with it. `rows`: of the cells, which fold what
/// is finer than they are.
std::vector<Wave> one_for_each_lamp(const std::vector<Wave>& waves, double frames, double rows);

/// Fills `waves` and `suspects`: which light of the room made which wave. A light explains no more
/// than it could give at the shutter, or, where that is not known, at any.
void judge_waves(const std::vector<Wave>& waves, const FootageSettings& settings,
                 FootageResult& result);

/// The light itself: what the exposure left of each component, put back.
/// `first_hz` is the frequency of the first wave; findings say what the exposure hides.
Light recovered_light(const std::vector<Wave>& waves, double first_hz,
                      std::optional<double> readout_s, double fps, double exposure_s,
                      double smallest_seen);

}  // namespace lampbeat::footage
