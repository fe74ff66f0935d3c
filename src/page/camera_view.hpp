#pragma once

#include <cstdint>
#include <span>

namespace lampbeat::page {

/// Pictures of a camera from here on; what was seen before is forgotten. Luma in full range, or in
/// the range of video.
void begin_looking(int width, int height, bool full_range);

/// The next picture's luma, row by row, and when it was taken, seconds.
void look(std::span<const std::uint8_t> luma, double taken_s);

/// The same of a picture that a browser hands out as red, green, blue and opacity only: its luma is
/// weighted as in BT.709 item 3.2, in full range.
void look_at_colours(std::span<const std::uint8_t> rgba, double taken_s);

}  // namespace lampbeat::page
