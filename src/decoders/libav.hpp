#pragma once

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/display.h>
#include <libavutil/pixdesc.h>
#include <libswscale/swscale.h>
}

#include <memory>
#include <stdexcept>
#include <string>

// FFmpeg's libraries, 4.4 and later, with owners for what they hand out.

namespace lampbeat::decoders {

/// What a person is told, without the file's name.
struct Complaint : std::runtime_error {
  using std::runtime_error::runtime_error;
};

std::string error_words(int code);

struct FreeFormat {
  void operator()(AVFormatContext* f) const { avformat_close_input(&f); }
};
struct FreeIo {
  void operator()(AVIOContext* io) const {
    av_freep(static_cast<void*>(&io->buffer));
    avio_context_free(&io);
  }
};
struct FreeCodec {
  void operator()(AVCodecContext* c) const { avcodec_free_context(&c); }
};
struct FreeFrame {
  void operator()(AVFrame* f) const { av_frame_free(&f); }
};
struct FreePacket {
  void operator()(AVPacket* p) const { av_packet_free(&p); }
};
struct FreeScaler {
  void operator()(SwsContext* s) const { sws_freeContext(s); }
};
using FormatOwner = std::unique_ptr<AVFormatContext, FreeFormat>;
using IoOwner = std::unique_ptr<AVIOContext, FreeIo>;
using CodecOwner = std::unique_ptr<AVCodecContext, FreeCodec>;
using FrameOwner = std::unique_ptr<AVFrame, FreeFrame>;
using PacketOwner = std::unique_ptr<AVPacket, FreePacket>;
using ScalerOwner = std::unique_ptr<SwsContext, FreeScaler>;

}  // namespace lampbeat::decoders
