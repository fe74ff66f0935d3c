#pragma once

#include <memory>

#include "files/byte_source.hpp"
#include "lampbeat/clip.hpp"

// One reader per file format; each takes over bytes whose beginning matched its signature.

namespace lampbeat::footage::clips {

/// Larger than any camera's picture: a damaged header must not ask for more memory than there is.
constexpr int largest_side = 65536;
constexpr std::size_t largest_frame_bytes = std::size_t{256} << 20;

std::unique_ptr<ClipSource> open_y4m(files::ByteSource bytes);
std::unique_ptr<ClipSource> open_png(files::ByteSource bytes);
std::unique_ptr<ClipSource> open_pgm(files::ByteSource bytes);
/// Whatever the module for containers knows, which must be there; JPEG stills among it.
std::unique_ptr<ClipSource> open_container(files::ByteSource bytes);

/// A clip of one frame, already in memory.
std::unique_ptr<ClipSource> still(ClipFormat format, std::vector<std::uint16_t> luma);

}  // namespace lampbeat::footage::clips
