// Portable greymap, binary form (P5): a short text header, then rows of 8- or big-endian 16-bit
// values. Described in the manual page pgm(5).

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cctype>

#include "footage/clips/formats.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::footage::clips {

namespace {

/// The next whole number of the header, past blanks and comments.
int header_number(files::ByteSource& bytes, const char* what, int highest) {
  int c = bytes.get();
  for (int passed = 0; c == '#' || (c >= 0 && std::isspace(c)); ++passed) {
    if (c == '#') {
      while (c >= 0 && c != '\n' && ++passed < 4096) c = bytes.get();
    }
    if (passed >= 4096) break;
    c = bytes.get();
  }
  int value = 0;
  bool any = false;
  for (; c >= '0' && c <= '9' && value <= highest; c = bytes.get()) {
    value = 10 * value + (c - '0');
    any = true;
  }
  // Exactly one blank ends each number; after the last one the pixels begin.
  if (!any || value < 1 || value > highest || c < 0 || !std::isspace(c)) {
    throw InputError(fmt::format("{}: its header does not give a {} within 1 ... {}", bytes.name(),
                                 what, highest));
  }
  return value;
}

}  // namespace

std::unique_ptr<ClipSource> open_pgm(files::ByteSource bytes) {
  bytes.skip(2);  // P5
  ClipFormat format;
  format.name = bytes.name();
  format.chroma = Chroma::mono;
  format.width = header_number(bytes, "width", largest_side);
  format.height = header_number(bytes, "height", largest_side);
  const auto highest = static_cast<unsigned>(header_number(bytes, "highest value", 65535));
  format.bits = std::max(8, static_cast<int>(std::bit_width(highest)));

  const auto width = static_cast<std::size_t>(format.width);
  const std::size_t bytes_each = highest > 255 ? 2 : 1;
  if (width * static_cast<std::size_t>(format.height) * bytes_each > largest_frame_bytes) {
    throw InputError(fmt::format("{}: a picture of {} x {} is more than the {} MB allowed",
                                 format.name, format.width, format.height,
                                 largest_frame_bytes >> 20));
  }
  const unsigned full_scale = (1U << format.bits) - 1U;
  std::vector<unsigned char> row(width * bytes_each);
  std::vector<std::uint16_t> luma;
  for (int y = 0; y < format.height; ++y) {
    if (bytes.read_fully(row.data(), row.size()) != row.size()) {
      throw InputError(
          fmt::format("{}: ends inside row {} of {}", format.name, y + 1, format.height));
    }
    for (std::size_t x = 0; x < width; ++x) {
      const unsigned value =
          bytes_each == 1 ? row[x] : static_cast<unsigned>(row[2 * x] << 8 | row[2 * x + 1]);
      if (value > highest) {
        throw InputError(fmt::format("{}: row {} holds the value {}, above its highest {}",
                                     format.name, y + 1, value, highest));
      }
      luma.push_back(static_cast<std::uint16_t>((value * full_scale + highest / 2) / highest));
    }
  }
  return still(std::move(format), std::move(luma));
}

}  // namespace lampbeat::footage::clips
