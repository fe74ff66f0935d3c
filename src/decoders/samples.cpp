#include "decoders/samples.hpp"

#include <cstring>
#include <type_traits>

namespace lampbeat::decoders {

namespace {

// From FFmpeg 5.1 on, channels have layouts.
constexpr bool layouts = LIBAVUTIL_VERSION_INT >= AV_VERSION_INT(57, 24, 100);

template <typename Owner>
int channels_in(const Owner& owner) {
  if constexpr (layouts) {
    return owner.ch_layout.nb_channels;
  } else {
    return owner.channels;
  }
}

template <typename Sample>
float scaled(Sample value) {
  if constexpr (std::is_floating_point_v<Sample>) {
    return static_cast<float>(value);
  } else if constexpr (std::is_same_v<Sample, std::uint8_t>) {
    return (static_cast<float>(value) - 128.0F) / 128.0F;
  } else {
    constexpr double full = -static_cast<double>(std::numeric_limits<Sample>::min());
    return static_cast<float>(static_cast<double>(value) / full);
  }
}

template <typename Sample>
void append_as(const AVFrame& frame, int channels, bool planar, std::vector<float>& to) {
  for (int i = 0; i < frame.nb_samples; ++i) {
    for (int c = 0; c < channels; ++c) {
      const std::uint8_t* plane = frame.extended_data[planar ? c : 0];
      const std::ptrdiff_t place = planar ? i : std::ptrdiff_t{i} * channels + c;
      Sample value{};
      std::memcpy(&value, plane + place * static_cast<std::ptrdiff_t>(sizeof(Sample)),
                  sizeof(Sample));
      to.push_back(scaled(value));
    }
  }
}

}  // namespace

int channels_of(const AVCodecContext& codec) { return channels_in(codec); }

void append_samples(const AVFrame& frame, int channels, std::vector<float>& to) {
  if (channels_in(frame) != channels) throw Complaint("changes its number of channels midway");
  const auto format = static_cast<AVSampleFormat>(frame.format);
  const bool planar = av_sample_fmt_is_planar(format) == 1;
  switch (av_get_packed_sample_fmt(format)) {
    case AV_SAMPLE_FMT_U8:
      return append_as<std::uint8_t>(frame, channels, planar, to);
    case AV_SAMPLE_FMT_S16:
      return append_as<std::int16_t>(frame, channels, planar, to);
    case AV_SAMPLE_FMT_S32:
      return append_as<std::int32_t>(frame, channels, planar, to);
    case AV_SAMPLE_FMT_S64:
      return append_as<std::int64_t>(frame, channels, planar, to);
    case AV_SAMPLE_FMT_FLT:
      return append_as<float>(frame, channels, planar, to);
    case AV_SAMPLE_FMT_DBL:
      return append_as<double>(frame, channels, planar, to);
    default:
      throw Complaint("its sample format is not known");
  }
}

}  // namespace lampbeat::decoders
