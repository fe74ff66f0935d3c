#pragma once

#include <cstdint>
#include <vector>

#include "decoders/libav.hpp"

namespace lampbeat::decoders {

/// How the pixels of a picture come to one code value each.
struct LumaFormat {
  int width = 0;
  int height = 0;
  int bits = 8;            ///< 8 ... 16
  bool by_scaler = false;  ///< red, green and blue, or a palette: weighted to luma
  bool full_range = false;
  bool grey = false;
};

/// Throws Complaint for formats with no 8 to 16 bits of brightness.
LumaFormat luma_format(const AVFrame& frame);

/// Takes the luma out of pictures.
class LumaReader {
 public:
  explicit LumaReader(const LumaFormat& format) : format_(format) {}
  /// Row by row, valid until the next. Throws Complaint where the picture is of another format than
  /// the first.
  const std::vector<std::uint16_t>& read(const AVFrame& frame);

 private:
  void take_plane(const AVFrame& frame);
  void weigh_colours(const AVFrame& frame);

  LumaFormat format_;
  int pixel_format_ = AV_PIX_FMT_NONE;
  ScalerOwner scaler_;
  std::vector<std::uint16_t> colours_;
  std::vector<std::uint16_t> luma_;
};

}  // namespace lampbeat::decoders
