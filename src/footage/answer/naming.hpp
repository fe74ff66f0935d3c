#pragma once

#include <optional>
#include <vector>

#include "footage/waves/wave.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage::answer {

/// From the first row to the last.
struct Readout {
  double s = 0.0;
  double s_sd = 0.0;
};

/// Which light the waves come from and how long the camera reads: frequencies and readout follow
/// from each other through bands = frequency · readout.
struct NamedLight {
  std::vector<LightCandidate> lights;
  std::optional<Readout> readout;
  /// Signed, where the light tells which way a pattern without bands rolls.
  std::optional<double> roll_hz;
  std::optional<double> first_hz;  ///< of the first wave in the light, where it is known
  Findings findings;
};

/// Of waves strongest first, at least one, the first of which rolls at `roll_hz`.
NamedLight light_in_clip(const std::vector<waves::Wave>& waves, double fps, double roll_hz,
                         const FootageSettings& settings);
NamedLight light_in_still(const waves::Wave& wave, const FootageSettings& settings);

}  // namespace lampbeat::footage::answer
