#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace lampbeat {

/// Frames per second as an exact fraction: 24000/1001 is not 23.976.
struct FrameRate {
  std::int64_t numerator = 25;
  std::int64_t denominator = 1;
  double per_s() const { return static_cast<double>(numerator) / static_cast<double>(denominator); }
  double frame_s() const {
    return static_cast<double>(denominator) / static_cast<double>(numerator);
  }
};

/// Exactly the same rate: 50/2 is 25, but 30000/1001 is not 29.97.
bool operator==(FrameRate a, FrameRate b);

/// How the camera is set for one shot.
struct Shot {
  FrameRate fps;
  double exposure_s = 0.02;  ///< time each row collects light; > 0 and <= one frame
  double readout_s = 0.0;    ///< first to last row; 0 is a global shutter
  int rows = 1080;           ///< picture height in rows
  /// Nobody measured the camera, and `readout_s` is what `shot_of` takes for want of better.
  bool readout_assumed = false;
};

/// Reads a frame rate as the trade writes it: "24", "29.97", "30000/1001". The four customary
/// decimals 23.976, 29.97, 59.94 and 119.88 (and 23.98, 47.952, 239.76) mean the exact n·1000/1001
/// rate. Throws UsageError unless the result lies in 1 ... 100000 frames per second.
FrameRate parse_frame_rate(std::string_view text);

/// Reads an exposure: "180deg", "172.8deg" (of this frame rate), "1/60", "16.7ms", "500us",
/// "0.02s". Seconds. Throws UsageError for anything else, for nothing, and for more than one frame.
double parse_exposure_s(std::string_view text, FrameRate fps);

/// Reads a readout time: "16ms", "1/60", "global" (0). Seconds, 0 ... 1. Throws UsageError.
double parse_readout_s(std::string_view text);

/// Shutter angle in degrees: 360 · exposure · frame rate.
double shutter_angle_deg(double exposure_s, FrameRate fps);

/// How a person would write it: "29.97", "24", "1/60", "1/48 (180°)", "16 ms".
std::string frame_rate_label(FrameRate fps);
std::string exposure_label(double exposure_s);

}  // namespace lampbeat
