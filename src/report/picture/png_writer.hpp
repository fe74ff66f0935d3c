#pragma once

#include <png.h>

#include <cstdint>
#include <span>
#include <string>

namespace lampbeat::report::picture {

/// A colour as sRGB: 0x14474b.
using Colour = std::uint32_t;

/// libpng's writer, put away whatever happens. It writes into `bytes`, which must outlive it.
class PngWriter {
 public:
  explicit PngWriter(std::string& bytes);
  ~PngWriter();
  PngWriter(const PngWriter&) = delete;
  PngWriter& operator=(const PngWriter&) = delete;

  /// Grey of 8 or 16 bits in the sRGB transfer.
  void begin_grey(std::uint32_t across, std::uint32_t down, int bits);
  /// Samples of 8 bits that are numbers of these colours. `description` is kept in the file as
  /// such, for those who do not see it.
  void begin_coloured(std::uint32_t across, std::uint32_t down, std::span<const Colour> colours,
                      const std::string& description);
  void line(const std::uint8_t* bytes) { png_write_row(png_, bytes); }
  void end() { png_write_end(png_, nullptr); }

 private:
  png_structp png_ = nullptr;
  png_infop info_ = nullptr;
};

}  // namespace lampbeat::report::picture
