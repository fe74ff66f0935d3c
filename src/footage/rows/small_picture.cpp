#include "footage/rows/small_picture.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace lampbeat::footage::rows {

namespace {

// Pixels: sharp on a page, some 100 kB in it.
constexpr std::size_t widest = 480;
constexpr std::size_t highest = 480;
// ITU-R BT.709-6, item 4.6: black and white of limited range, in eight bits.
constexpr double limited_black = 16.0;
constexpr double limited_white = 235.0;

std::uint8_t shown(double code, const ClipFormat& format, bool full_range) {
  const double finer = std::exp2(format.bits - 8);
  const double black = full_range ? 0.0 : limited_black * finer;
  const double white = full_range ? std::exp2(format.bits) - 1.0 : limited_white * finer;
  return static_cast<std::uint8_t>(
      std::lround(255.0 * std::clamp((code - black) / (white - black), 0.0, 1.0)));
}

}  // namespace

ClipPicture small_picture(const std::vector<std::uint16_t>& luma, const ClipFormat& format,
                          bool full_range) {
  const auto width = static_cast<std::size_t>(format.width);
  const auto height = static_cast<std::size_t>(format.height);
  const std::size_t side =
      std::max({std::size_t{1}, (width + widest - 1) / widest, (height + highest - 1) / highest});
  ClipPicture picture;
  picture.width = static_cast<int>(std::max<std::size_t>(1, width / side));
  picture.height = static_cast<int>(std::max<std::size_t>(1, height / side));
  for (std::size_t y = 0; y < static_cast<std::size_t>(picture.height); ++y) {
    const std::size_t rows = std::min(side, height - y * side);
    for (std::size_t x = 0; x < static_cast<std::size_t>(picture.width); ++x) {
      const std::size_t columns = std::min(side, width - x * side);
      double sum = 0.0;
      for (std::size_t r = 0; r < rows; ++r) {
        const std::uint16_t* from = luma.data() + (y * side + r) * width + x * side;
        for (std::size_t c = 0; c < columns; ++c) sum += from[c];
      }
      picture.grey.push_back(shown(sum / static_cast<double>(rows * columns), format, full_range));
    }
  }
  return picture;
}

}  // namespace lampbeat::footage::rows
