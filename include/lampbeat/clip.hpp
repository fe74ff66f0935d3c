#pragma once

#include <cstdint>
#include <iosfwd>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"
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
/// The same words back.
std::string transfer_name(const TransferFunction& transfer);
/// Linear light 0 ... 1 to signal 0 ... 1, and back. Sources: ITU-R BT.709-6 item 1.2, IEC
/// 61966-2-1, ITU-R BT.2100-2 tables 4 and 5. Light is scene light, as the camera saw it, except
/// for PQ, which encodes the light of a display (1 = 10000 cd/m²). Negative values, which noise
/// around black produces, are mirrored; values above 1 continue the curve.
double encode(const TransferFunction& transfer, double linear);
double decode(const TransferFunction& transfer, double signal);

/// Which samples a stream holds beside the luma: none, or chroma so finely sampled.
enum class Chroma { mono, yuv411, yuv420, yuv422, yuv444 };

/// What a clip's header says.
struct ClipFormat {
  std::string name;
  int width = 0;
  int height = 0;
  std::optional<FrameRate> fps;  ///< empty: the file does not say, as no photograph does
  int bits = 8;                  ///< 8 ... 16
  bool full_range = false;
  bool still = false;  ///< one photograph, no clip
  /// As the file is tagged (PNG: cICP, sRGB, gAMA; containers: H.273 transfer characteristics);
  /// empty when it does not say.
  std::optional<TransferFunction> transfer;
  Chroma chroma = Chroma::mono;
};

/// A clip read frame by frame; only the luma plane is kept, as code values 0 ... 2^bits − 1. Rows
/// are those of the file, which are the sensor's: a portrait clip is stored lying and turned by the
/// player, and here it is not.
class ClipSource {
 public:
  virtual ~ClipSource() = default;
  virtual const ClipFormat& format() const = 0;
  /// The next frame's luma, row by row (width · height values), valid until the following call;
  /// nullptr at the end. Throws InputError for a truncated frame.
  virtual const std::vector<std::uint16_t>* next() = 0;
  /// When the latest frame was taken, in frame periods since the first, by the file's own times
  /// (1, 2, 4 where the third is missing); empty where it has none.
  virtual std::optional<double> period() const { return std::nullopt; }
  /// What it noticed so far: capture_rate_tag, turned_picture, stored_upright, ends_early.
  virtual Findings findings() const { return {}; }
};

/// Opens a YUV4MPEG2 clip ("-" is standard input), a PNG/PGM still (a clip of one frame), or, where
/// lampbeat was built with FFmpeg's libraries, any container they know (MP4, MOV, MKV, WebM ...)
/// and JPEG stills. The luma of RGB pictures is weighted as in BT.709 item 3.2. Throws InputError
/// for anything else, for interlaced material, sides above 65536 and frames above 256 MB; without
/// those libraries, compressed clips are refused with the ffmpeg line that pipes them in.
std::unique_ptr<ClipSource> open_clip(const std::string& path);

}  // namespace lampbeat
