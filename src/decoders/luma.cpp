#include "decoders/luma.hpp"

#include <array>
#include <cmath>

namespace lampbeat::decoders {

namespace {

constexpr int fewest_bits = 8;
constexpr int most_bits = 16;

const AVPixFmtDescriptor& described(int pixel_format) {
  const auto* d = av_pix_fmt_desc_get(static_cast<AVPixelFormat>(pixel_format));
  if (!d) throw Complaint("its pixel format is not known");
  if (d->flags & AV_PIX_FMT_FLAG_HWACCEL) throw Complaint("its pictures lie on a graphics card");
  return *d;
}

/// Formats whose first component is the luma, in whole bytes.
bool has_luma_plane(const AVPixFmtDescriptor& d) {
  constexpr std::uint64_t otherwise = AV_PIX_FMT_FLAG_RGB | AV_PIX_FMT_FLAG_PAL |
                                      AV_PIX_FMT_FLAG_BITSTREAM | AV_PIX_FMT_FLAG_BAYER |
                                      AV_PIX_FMT_FLAG_FLOAT;
  const int depth = d.comp[0].depth;
  return (d.flags & otherwise) == 0 && depth >= fewest_bits && depth <= most_bits;
}

bool is_old_full_range(int pixel_format) {
  switch (pixel_format) {
    case AV_PIX_FMT_YUVJ411P:
    case AV_PIX_FMT_YUVJ420P:
    case AV_PIX_FMT_YUVJ422P:
    case AV_PIX_FMT_YUVJ440P:
    case AV_PIX_FMT_YUVJ444P:
      return true;
    default:
      return false;
  }
}

/// By its tag; without one YUV is limited, and a format of one component full.
bool is_full_range(const AVFrame& frame, const AVPixFmtDescriptor& d) {
  if (frame.color_range == AVCOL_RANGE_JPEG || is_old_full_range(frame.format)) return true;
  if (frame.color_range == AVCOL_RANGE_MPEG) return false;
  return d.nb_components < 3;
}

}  // namespace

LumaFormat luma_format(const AVFrame& frame) {
  const AVPixFmtDescriptor& d = described(frame.format);
  LumaFormat format;
  format.width = frame.width;
  format.height = frame.height;
  if (has_luma_plane(d)) {
    format.bits = d.comp[0].depth;
    format.full_range = is_full_range(frame, d);
    format.grey = d.nb_components < 3;
    return format;
  }
  const auto pixel_format = static_cast<AVPixelFormat>(frame.format);
  if (!sws_isSupportedInput(pixel_format)) {
    throw Complaint(std::string("its pixel format ") + d.name + " cannot be read");
  }
  format.bits = most_bits;
  format.by_scaler = true;
  format.full_range = true;
  return format;
}

const std::vector<std::uint16_t>& LumaReader::read(const AVFrame& frame) {
  if (pixel_format_ == AV_PIX_FMT_NONE) pixel_format_ = frame.format;
  if (frame.width != format_.width || frame.height != format_.height ||
      frame.format != pixel_format_) {
    throw Complaint(
        "changes the size or format of its pictures midway; cut it there and measure "
        "each part");
  }
  luma_.resize(static_cast<std::size_t>(format_.width) * static_cast<std::size_t>(format_.height));
  if (format_.by_scaler) {
    weigh_colours(frame);
  } else {
    take_plane(frame);
  }
  return luma_;
}

void LumaReader::take_plane(const AVFrame& frame) {
  const AVPixFmtDescriptor& d = described(frame.format);
  const AVComponentDescriptor& c = d.comp[0];
  const bool wide = c.depth > 8;
  const bool big_endian = (d.flags & AV_PIX_FMT_FLAG_BE) != 0;
  const unsigned mask = (1U << c.depth) - 1U;
  const auto width = static_cast<std::size_t>(format_.width);
  const auto step = static_cast<std::size_t>(c.step);
  std::uint16_t* out = luma_.data();
  for (int y = 0; y < format_.height; ++y, out += width) {
    const std::uint8_t* row =
        frame.data[c.plane] + static_cast<std::ptrdiff_t>(y) * frame.linesize[c.plane] + c.offset;
    if (!wide) {
      for (std::size_t x = 0; x < width; ++x) out[x] = row[x * step];
      continue;
    }
    for (std::size_t x = 0; x < width; ++x) {
      const unsigned first = row[x * step];
      const unsigned second = row[x * step + 1];
      const unsigned value = big_endian ? first << 8 | second : second << 8 | first;
      out[x] = static_cast<std::uint16_t>(value >> c.shift & mask);
    }
  }
}

void LumaReader::weigh_colours(const AVFrame& frame) {
  const auto width = static_cast<std::size_t>(format_.width);
  if (!scaler_) {
    scaler_.reset(sws_getContext(
        frame.width, frame.height, static_cast<AVPixelFormat>(frame.format), frame.width,
        frame.height, AV_PIX_FMT_RGB48, SWS_POINT | SWS_ACCURATE_RND, nullptr, nullptr, nullptr));
    if (!scaler_) throw Complaint("its pictures cannot be turned into red, green and blue");
    // Whole vectors are written, beyond the end of the last row.
    colours_.resize(3 * width * static_cast<std::size_t>(format_.height) + 64);
  }
  const std::array<std::uint8_t*, 1> to = {reinterpret_cast<std::uint8_t*>(colours_.data())};
  const std::array<int, 1> stride = {format_.width * 6};
  sws_scale(scaler_.get(), frame.data, frame.linesize, 0, frame.height, to.data(), stride.data());
  for (std::size_t i = 0; i < luma_.size(); ++i) {
    const std::uint16_t* p = colours_.data() + 3 * i;
    // Luma weights of ITU-R BT.709-6 item 3.2.
    luma_[i] =
        static_cast<std::uint16_t>(std::lround(0.2126 * p[0] + 0.7152 * p[1] + 0.0722 * p[2]));
  }
}

}  // namespace lampbeat::decoders
