#pragma once

#include <optional>
#include <string>
#include <vector>

#include "footage/waves/wave.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage::waves {

/// Multiple of 50 or 60 Hz mains that a frequency is, within what mains really does.
struct MainsMatch {
  double mains_hz = 50.0;  ///< nominal
  int order = 2;
};
std::optional<MainsMatch> mains_match(double hz, double sd_hz);

/// A wave whose frequency in the light is known.
struct KnownWave {
  std::size_t wave = 0;
  double hz = 0.0;
  int order = 1;         ///< of the frequency the user named
  bool upwards = false;  ///< the rows were read from the bottom of the picture to the top
};
/// Which wave a light of `light_hz` makes; empty when none rolls as it would.
std::optional<KnownWave> wave_of_light(const std::vector<Wave>& waves, double light_hz, double fps);

/// Every light frequency that would roll so, nearest to bands / readout first when the readout is
/// known; without it only what mains-driven lights do. The one to believe is marked.
std::vector<LightCandidate> light_candidates(const Wave& wave, double fps,
                                             std::optional<double> readout_s);

}  // namespace lampbeat::footage::waves
