#pragma once

#include <cstdint>

#include "decoders/demuxer.hpp"

namespace lampbeat::decoders {

/// One track unpacked.
class Decoder {
 public:
  /// Throws Complaint where no decoder is there for it.
  Decoder(Demuxer& demuxer, int track, std::int64_t most_pixels);

  const AVCodecContext& codec() const { return *codec_; }
  /// The next frame, valid until the following call; null at the end. Throws Complaint, which says
  /// at which `what` (frame, block) it was.
  const AVFrame* next(const char* what);

 private:
  bool feed(const char* what);
  [[noreturn]] void refuse(const char* what, std::uint64_t number, const std::string& why) const;

  Demuxer& demuxer_;
  CodecOwner codec_;
  PacketOwner packet_;
  FrameOwner frame_;
  std::uint64_t frames_ = 0;
  bool drained_ = false;
};

}  // namespace lampbeat::decoders
