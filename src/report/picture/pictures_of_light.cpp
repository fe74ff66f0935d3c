#include "lampbeat/picture.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "lampbeat/banding.hpp"
#include "lampbeat/clip.hpp"
#include "report/picture/png_writer.hpp"

namespace lampbeat {

using report::picture::PngWriter;

namespace {

// Half of HD: both walls beside each other fit on a screen, and a band is still some rows.
constexpr int width = 960;
constexpr int height = 540;
constexpr int gap = 16;
constexpr double wall = 0.4;       // of white: bands of ± 100 % still fit
constexpr double surround = 0.02;  // the gap: dark, so that both walls stand out from it equally

/// Linear light as the two bytes of a 16-bit grey sample.
struct Grey {
  explicit Grey(double linear) {
    const double signal = encode({Transfer::srgb}, std::clamp(linear, 0.0, 1.0));
    const long code = std::lround(65535.0 * signal);
    high = static_cast<std::uint8_t>(code >> 8);
    low = static_cast<std::uint8_t>(code & 0xFF);
  }
  std::uint8_t high, low;
};

void fill(std::vector<std::uint8_t>& line, int from, int to, Grey grey) {
  for (int x = from; x < to; ++x) {
    const std::size_t sample = 2 * static_cast<std::size_t>(x);
    line[sample] = grey.high;
    line[sample + 1] = grey.low;
  }
}

}  // namespace

std::string predicted_frame_png(const Prediction& prediction) {
  const std::vector<double> rows = least_favourable_rows(prediction);
  std::string bytes;
  PngWriter png(bytes);
  png.begin_grey(width, height, 16);
  std::vector<std::uint8_t> line(2 * width);
  fill(line, (width - gap) / 2, (width + gap) / 2, Grey(surround));
  fill(line, (width + gap) / 2, width, Grey(wall));
  for (int y = 0; y < height; ++y) {
    const std::size_t row = (2 * static_cast<std::size_t>(y) + 1) * rows.size() / (2 * height);
    fill(line, 0, (width - gap) / 2, Grey(wall * rows[row]));
    png.line(line.data());
  }
  png.end();
  return bytes;
}

std::string clip_picture_png(const ClipPicture& picture) {
  if (picture.grey.empty()) return {};
  std::string bytes;
  PngWriter png(bytes);
  png.begin_grey(static_cast<std::uint32_t>(picture.width),
                 static_cast<std::uint32_t>(picture.height), 8);
  for (int y = 0; y < picture.height; ++y) {
    png.line(picture.grey.data() + static_cast<std::ptrdiff_t>(y) * picture.width);
  }
  png.end();
  return bytes;
}

}  // namespace lampbeat
