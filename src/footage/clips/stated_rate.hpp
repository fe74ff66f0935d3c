#pragma once

#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "lampbeat/shot.hpp"

namespace lampbeat::footage::clips {

/// What a container says of its frame rate.
struct StatedRate {
  FrameRate fps;          ///< at which frames are shown
  double period_s = 0.0;  ///< between frames that are not missing, by their times
};

/// The frame rate behind the times of the first frames (sorted, s): their usual distance, made
/// exact by a line through all of them, named by what the container states or by the customary rate
/// that it is. Without times, what the container states (numerators and denominators, most trusted
/// first). Empty when it says nothing usable.
std::optional<StatedRate> stated_rate(
    const std::vector<double>& times_s,
    const std::vector<std::pair<std::int64_t, std::int64_t>>& rates);

}  // namespace lampbeat::footage::clips
