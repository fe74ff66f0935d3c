#include "lampbeat/picture.hpp"

#include <png.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <new>
#include <stdexcept>

#include "lampbeat/banding.hpp"
#include "lampbeat/clip.hpp"

namespace lampbeat {

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
    high = static_cast<png_byte>(code >> 8);
    low = static_cast<png_byte>(code & 0xFF);
  }
  png_byte high, low;
};

void fill(std::vector<png_byte>& line, int from, int to, Grey grey) {
  for (int x = from; x < to; ++x) {
    const std::size_t sample = 2 * static_cast<std::size_t>(x);
    line[sample] = grey.high;
    line[sample + 1] = grey.low;
  }
}

void append(png_structp png, png_bytep bytes, png_size_t count) {
  static_cast<std::string*>(png_get_io_ptr(png))->append(reinterpret_cast<char*>(bytes), count);
}

[[noreturn]] void fail(png_structp, png_const_charp message) { throw std::runtime_error(message); }

/// libpng's writer, put away whatever happens.
class PngWriter {
 public:
  explicit PngWriter(std::string& bytes)
      : png_(png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, fail, nullptr)),
        info_(png_ ? png_create_info_struct(png_) : nullptr) {
    if (!info_) throw std::bad_alloc();
    png_set_write_fn(png_, &bytes, append, nullptr);
  }
  ~PngWriter() { png_destroy_write_struct(&png_, &info_); }
  PngWriter(const PngWriter&) = delete;
  PngWriter& operator=(const PngWriter&) = delete;

  void begin(png_uint_32 across, png_uint_32 down, int bits) {
    png_set_IHDR(png_, info_, across, down, bits, PNG_COLOR_TYPE_GRAY, PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_set_sRGB(png_, info_, PNG_sRGB_INTENT_RELATIVE);
    png_write_info(png_, info_);
  }
  void line(const png_byte* bytes) { png_write_row(png_, bytes); }
  void end() { png_write_end(png_, nullptr); }

 private:
  png_structp png_ = nullptr;
  png_infop info_ = nullptr;
};

}  // namespace

std::string predicted_frame_png(const Prediction& prediction) {
  const std::vector<double> rows = least_favourable_rows(prediction);
  std::string bytes;
  PngWriter png(bytes);
  png.begin(width, height, 16);
  std::vector<png_byte> line(2 * width);
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
  png.begin(static_cast<png_uint_32>(picture.width), static_cast<png_uint_32>(picture.height), 8);
  for (int y = 0; y < picture.height; ++y) {
    png.line(picture.grey.data() + static_cast<std::ptrdiff_t>(y) * picture.width);
  }
  png.end();
  return bytes;
}

}  // namespace lampbeat
