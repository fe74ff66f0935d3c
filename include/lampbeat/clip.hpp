#pragma once

#include <cstdint>
#include <iosfwd>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/shot.hpp"

namespace lampbeat {

/// How linear scene light became code values.
enum class Transfer { bt709, srgb, hlg, pq, linear, gamma };
struct TransferFunction {
  Transfer kind = Transfer::bt709;
  double gamma = 2.2;  ///< only for Transfer::gamma
};
/// "bt709", "srgb", "hlg", "pq", "linear", "gamma=2.4". Throws UsageError.
TransferFunction parse_transfer(const std::string& text);
/// Linear light 0 ... 1 to signal 0 ... 1, and back. Sources: ITU-R BT.709-6 item 1.2, IEC
/// 61966-2-1, ITU-R BT.2100-2 tables 4 and 5.
double encode(const TransferFunction& transfer, double linear);
double decode(const TransferFunction& transfer, double signal);

/// What a clip's header says.
struct ClipFormat {
  std::string name;
  int width = 0;
  int height = 0;
  FrameRate fps;
  int bits = 8;
  bool full_range = false;
  std::string chroma;  ///< "mono", "420", "422", "444"
};

/// A clip read frame by frame; only the luma plane is kept, as code values 0 ... 2^bits − 1.
class ClipSource {
 public:
  virtual ~ClipSource() = default;
  virtual const ClipFormat& format() const = 0;
  /// The next frame's luma, row by row (width · height values), valid until the following call;
  /// nullptr at the end. Throws InputError for a truncated frame.
  virtual const std::vector<std::uint16_t>* next() = 0;
};

/// Opens a YUV4MPEG2 clip ("-" is standard input) or a PNG/PGM still (a clip of one frame).
/// Throws InputError for anything else, for interlaced material and absurd sizes.
std::unique_ptr<ClipSource> open_clip(const std::string& path);

}  // namespace lampbeat
