#pragma once

#include <optional>
#include <span>
#include <vector>

#include "lampbeat/prediction.hpp"

namespace lampbeat::reasoning {

/// The lights on one mains, as they are judged.
struct Supply {
  std::vector<LightShare> lights;
  std::optional<double> mains_hz;  ///< empty when nothing is locked
  Findings findings;
};

/// Puts the lights on the mains asked for, or on the nominal one of the first locked light.
/// Throws UsageError for a mains frequency outside 10 ... 1000 Hz.
Supply on_one_mains(std::span<const LightShare> lights, std::optional<double> asked_hz);

/// The same lights with the mains at `mains_hz`.
std::vector<LightShare> drifted(std::span<const LightShare> lights, double mains_hz);

/// Mains frequencies to look at within ± `tolerance_hz`, the ends included, the middle not: close
/// enough together to follow the lobes of the exposure's gain.
std::vector<double> frequencies_within(double mains_hz, double tolerance_hz,
                                       std::span<const LightShare> lights, double exposure_s);

}  // namespace lampbeat::reasoning
