#pragma once

#include <cstdint>
#include <vector>

#include "lampbeat/footage.hpp"

namespace lampbeat::footage::rows {

/// A frame made small for a page, each pixel the mean of those it stands for, by its code values:
/// as it looks, not as linear light.
ClipPicture small_picture(const std::vector<std::uint16_t>& luma, const ClipFormat& format,
                          bool full_range);

}  // namespace lampbeat::footage::rows
