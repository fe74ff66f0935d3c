#pragma once

#include <optional>
#include <vector>

#include "footage/wave.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage {

/// What the clip says about each profile of a light in the room.
std::vector<Suspect> judge_suspects(const std::vector<Wave>& waves, const FootageResult& result,
                                    const FootageSettings& settings);

/// The light itself: what the exposure left of each component, put back.
/// `first_hz` is the frequency of the first wave; findings say what the exposure hides.
Light recovered_light(const std::vector<Wave>& waves, double first_hz,
                      std::optional<double> readout_s, double fps, double exposure_s,
                      double smallest_seen);

}  // namespace lampbeat::footage
