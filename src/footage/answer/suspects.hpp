#pragma once

#include <optional>
#include <vector>

#include "footage/waves/wave.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage::answer {

/// How the waves came into the clip, as far as it is known.
struct Filmed {
  FrameRate fps;
  std::optional<double> exposure_s;
  std::optional<double> readout_s;
  int rows = 1080;
};

/// Which light of the room made which wave.
struct Diagnosis {
  std::vector<SeenWave> waves;    ///< as given, strongest first
  std::vector<Suspect> suspects;  ///< as given
};
/// A light explains no more than it could give at the shutter, or, where that is not known, at any.
/// `first_lights`: what the first of the waves may come from.
Diagnosis diagnosed(const std::vector<waves::Wave>& waves,
                    const std::vector<LightCandidate>& first_lights,
                    const std::vector<Light>& suspects, const Filmed& filmed);

}  // namespace lampbeat::footage::answer
