#include "decoders/decoder.hpp"

#include <new>

namespace lampbeat::decoders {

namespace {

// Pixels beyond which frames decoded side by side would fill a machine's memory.
constexpr std::int64_t large_picture = std::int64_t{1} << 24;

CodecOwner opened_codec(const AVStream& stream, std::int64_t most_pixels) {
  const AVCodecParameters& parameters = *stream.codecpar;
  const AVCodec* decoder = avcodec_find_decoder(parameters.codec_id);
  if (!decoder) {
    throw Complaint(std::string("is packed as ") + avcodec_get_name(parameters.codec_id) +
                    ", for which the installed libavcodec has no decoder");
  }
  CodecOwner codec(avcodec_alloc_context3(decoder));
  if (!codec) throw std::bad_alloc();
  int done = avcodec_parameters_to_context(codec.get(), &parameters);
  const std::int64_t pixels = std::int64_t{parameters.width} * parameters.height;
  if (pixels > most_pixels) {
    throw Complaint("its pictures of " + std::to_string(parameters.width) + " x " +
                    std::to_string(parameters.height) + " are larger than allowed");
  }
  codec->max_pixels = most_pixels;
  codec->pkt_timebase = stream.time_base;
  codec->thread_count = pixels > large_picture ? 1 : 0;
  codec->err_recognition = AV_EF_CRCCHECK | AV_EF_BITSTREAM | AV_EF_BUFFER;
  if (done >= 0) done = avcodec_open2(codec.get(), decoder, nullptr);
  if (done < 0) {
    throw Complaint(std::string("its ") + avcodec_get_name(parameters.codec_id) +
                    " track cannot be decoded (" + error_words(done) + ")");
  }
  return codec;
}

bool is_damaged(const AVFrame& frame) {
  return (frame.flags & AV_FRAME_FLAG_CORRUPT) != 0 || frame.decode_error_flags != 0;
}

}  // namespace

Decoder::Decoder(Demuxer& demuxer, int track, std::int64_t most_pixels)
    : demuxer_(demuxer),
      codec_(opened_codec(*demuxer.stream(track), most_pixels)),
      packet_(av_packet_alloc()),
      frame_(av_frame_alloc()) {
  if (!packet_ || !frame_) throw std::bad_alloc();
  demuxer_.choose(track);
}

void Decoder::refuse(const char* what, std::uint64_t number, const std::string& why) const {
  throw Complaint(std::string(what) + " " + std::to_string(number) + " " + why +
                  "; the file is damaged or was cut short: copy it again, or measure what comes "
                  "before by itself");
}

/// Hands the decoder another packet; at the end, tells it so.
bool Decoder::feed(const char* what) {
  if (drained_) return false;
  bool more = false;
  try {
    more = demuxer_.read(*packet_);
  } catch (const Complaint& c) {
    if (!demuxer_.seekable()) throw;  // a pipe's end is no fault of the file
    refuse(what, demuxer_.packets() + 1, std::string("cannot be read: ") + c.what());
  }
  if (more && (packet_->flags & AV_PKT_FLAG_CORRUPT) != 0) {
    refuse(what, demuxer_.packets(), "is not whole");
  };
  if (!more && demuxer_.cut_short()) {
    refuse(what, demuxer_.packets() + 1, "is missing, which its index promises");
  }
  drained_ = !more;
  const int sent = avcodec_send_packet(codec_.get(), more ? packet_.get() : nullptr);
  av_packet_unref(packet_.get());
  if (sent < 0 && sent != AVERROR_EOF) {
    refuse(what, demuxer_.packets(), "cannot be decoded (" + error_words(sent) + ")");
  }
  return true;
}

const AVFrame* Decoder::next(const char* what) {
  for (;;) {
    const int got = avcodec_receive_frame(codec_.get(), frame_.get());
    if (got == AVERROR_EOF) return nullptr;
    if (got == AVERROR(EAGAIN)) {
      if (!feed(what)) return nullptr;
      continue;
    }
    if (got < 0) refuse(what, frames_ + 1, "cannot be decoded (" + error_words(got) + ")");
    if (is_damaged(*frame_)) {
      // A clip that was trimmed may begin with pictures that lack those they were made from.
      if (frames_ == 0) continue;
      refuse(what, frames_ + 1, "is damaged");
    }
    ++frames_;
    demuxer_.came();
    return frame_.get();
  }
}

}  // namespace lampbeat::decoders
