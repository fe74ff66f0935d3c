#pragma once

#include "decoders/libav.hpp"

namespace lampbeat::decoders {

/// How players turn a picture before they show it.
struct Turn {
  int clockwise_deg = 0;  ///< 0, 90, 180 or 270
  bool mirrored = false;
};
/// By the track's or the picture's display matrix, or a photograph's orientation.
Turn turn_of(const AVStream& stream, const AVFrame& first);

/// The rate a clip says it was filmed at, when that is not the one it is shown at; 0 when it does
/// not say. Telephones write it for slow motion: "com.android.capture.fps".
double capture_fps(const AVFormatContext& format, const AVStream& stream);

/// Odd and even rows were exposed at different times.
bool is_interlaced(const AVFrame& frame);

}  // namespace lampbeat::decoders
