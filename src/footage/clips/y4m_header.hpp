#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "lampbeat/clip.hpp"

namespace lampbeat::footage::clips {

/// Splits off the next blank-separated word; empty at the end of the line.
std::string_view next_word(std::string_view& line);

/// What the first line of a YUV4MPEG2 stream says.
struct Y4mHeader {
  ClipFormat format;
  std::size_t samples_beside_luma = 0;  ///< in each frame: chroma, alpha
};

/// Reads "YUV4MPEG2 W1920 H1080 F25:1 ...". Throws InputError, in which the clip is called `name`.
Y4mHeader read_y4m_header(std::string_view line, const std::string& name);

}  // namespace lampbeat::footage::clips
