#pragma once

#include <optional>
#include <span>
#include <vector>

#include "lampbeat/prediction.hpp"

namespace lampbeat::reasoning::mixture {

/// The lights on one mains, as they are judged.
struct Supply {
  std::vector<LightShare> lights;
  std::optional<double> mains_hz;  ///< empty when nothing is locked
  Findings findings;
};

/// Whether anything of this light follows the mains.
bool has_locked_part(const Light& light);

/// The mains of a light that follows one in any of its states.
std::optional<double> mains_of(const Light& light);

/// Puts the lights on the mains asked for, or on the nominal one of the first locked light.
/// Throws UsageError for a mains frequency outside 10 ... 1000 Hz.
Supply on_one_mains(std::span<const LightShare> lights, std::optional<double> asked_hz);

/// Lights judged on the mains of their captures, on the mains as meant: whole cycles are counted in
/// 60 Hz and not in the 60.01 Hz of that minute. On a mains that was asked for they stay.
std::vector<LightShare> as_meant(std::span<const LightShare> lights,
                                 std::optional<double> judged_hz, std::optional<double> asked_hz);

/// The same lights with the mains at `mains_hz`.
std::vector<LightShare> all_retuned(std::span<const LightShare> lights, double mains_hz);

}  // namespace lampbeat::reasoning::mixture
