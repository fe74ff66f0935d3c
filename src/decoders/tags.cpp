#include "decoders/tags.hpp"

#include <cmath>
#include <cstdlib>

namespace lampbeat::decoders {

namespace {

const std::int32_t* matrix_of(const AVStream& stream) {
#if LIBAVCODEC_VERSION_INT >= AV_VERSION_INT(60, 31, 100)
  const AVPacketSideData* data =
      av_packet_side_data_get(stream.codecpar->coded_side_data, stream.codecpar->nb_coded_side_data,
                              AV_PKT_DATA_DISPLAYMATRIX);
  return data && data->size >= 9 * sizeof(std::int32_t)
             ? reinterpret_cast<const std::int32_t*>(data->data)
             : nullptr;
#else
  return reinterpret_cast<const std::int32_t*>(
      av_stream_get_side_data(&stream, AV_PKT_DATA_DISPLAYMATRIX, nullptr));
#endif
}

const std::int32_t* matrix_of(const AVFrame& frame) {
  const AVFrameSideData* data = av_frame_get_side_data(&frame, AV_FRAME_DATA_DISPLAYMATRIX);
  return data && data->size >= 9 * sizeof(std::int32_t)
             ? reinterpret_cast<const std::int32_t*>(data->data)
             : nullptr;
}

Turn turn_by(const std::int32_t* matrix) {
  // A mirror image has a negative determinant; turning is told once that is undone.
  const double determinant =
      static_cast<double>(matrix[0]) * matrix[4] - static_cast<double>(matrix[1]) * matrix[3];
  std::int32_t upright[9];
  for (int i = 0; i < 9; ++i) upright[i] = matrix[i];
  Turn turn;
  turn.mirrored = determinant < 0.0;
  if (turn.mirrored) av_display_matrix_flip(upright, 1, 0);
  const double counter_clockwise = av_display_rotation_get(upright);
  if (std::isnan(counter_clockwise)) return {};
  const long quarters = std::lround(-counter_clockwise / 90.0);
  turn.clockwise_deg = static_cast<int>(90 * ((quarters % 4 + 4) % 4));
  return turn;
}

/// Exif 2.32, tag 274: where the first row and column of the stored picture are seen.
Turn turn_by_orientation(long orientation) {
  switch (orientation) {
    case 2:
      return {0, true};
    case 3:
      return {180, false};
    case 4:
      return {180, true};
    case 5:
      return {90, true};
    case 6:
      return {90, false};
    case 7:
      return {270, true};
    case 8:
      return {270, false};
    default:
      return {};
  }
}

const char* tag(const AVDictionary* tags, const char* key) {
  const AVDictionaryEntry* entry = av_dict_get(tags, key, nullptr, 0);
  return entry ? entry->value : nullptr;
}

}  // namespace

Turn turn_of(const AVStream& stream, const AVFrame& first) {
  if (const auto* matrix = matrix_of(stream)) return turn_by(matrix);
  if (const auto* matrix = matrix_of(first)) return turn_by(matrix);
  if (const char* orientation = tag(first.metadata, "Orientation")) {
    return turn_by_orientation(std::strtol(orientation, nullptr, 10));
  }
  return {};
}

double capture_fps(const AVFormatContext& format, const AVStream& stream) {
  constexpr const char* key = "com.android.capture.fps";
  const char* text = tag(format.metadata, key);
  if (!text) text = tag(stream.metadata, key);
  if (!text) return 0.0;
  const double fps = std::strtod(text, nullptr);
  return fps >= 0.01 && fps <= 100000.0 ? fps : 0.0;
}

bool is_interlaced(const AVFrame& frame) {
#if LIBAVUTIL_VERSION_INT >= AV_VERSION_INT(58, 7, 100)
  return (frame.flags & AV_FRAME_FLAG_INTERLACED) != 0;
#else
  return frame.interlaced_frame != 0;
#endif
}

}  // namespace lampbeat::decoders
