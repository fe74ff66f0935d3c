#pragma once

#include <memory>

#include "footage/clips/byte_stream.hpp"
#include "lampbeat/clip.hpp"

// One reader per file format; each takes over a stream whose beginning matched its signature.

namespace lampbeat::footage {

constexpr int largest_side = 65536;
constexpr std::size_t largest_frame_bytes = std::size_t{256} << 20;

std::unique_ptr<ClipSource> open_y4m(ByteStream stream);
std::unique_ptr<ClipSource> open_png(ByteStream stream);
std::unique_ptr<ClipSource> open_pgm(ByteStream stream);

/// A clip of one frame, already in memory.
std::unique_ptr<ClipSource> still(ClipFormat format, std::vector<std::uint16_t> luma);

}  // namespace lampbeat::footage
