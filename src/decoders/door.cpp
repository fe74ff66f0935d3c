// What the program calls (containers/door.hpp). Nothing is thrown beyond this file.

#include "containers/door.hpp"

#include <algorithm>
#include <cstdio>
#include <exception>
#include <new>
#include <optional>
#include <string>
#include <vector>

#include "decoders/decoder.hpp"
#include "decoders/demuxer.hpp"
#include "decoders/luma.hpp"
#include "decoders/samples.hpp"
#include "decoders/tags.hpp"

namespace lampbeat::decoders {

namespace {

using containers::Door;
using containers::DoorBytes;
using containers::DoorComplaint;
using containers::DoorFrame;
using containers::DoorSamples;
using containers::DoorSound;
using containers::DoorVideo;

/// A file that is open, and how far it was read.
struct Opened {
  explicit Opened(const DoorBytes& from) : bytes(from), demuxer(from) {}

  DoorBytes bytes;
  Demuxer demuxer;
  std::optional<Decoder> decoder;
  std::vector<double> early_s;
  // Video.
  std::optional<LumaReader> luma;
  const AVFrame* first = nullptr;  ///< decoded to see its format, not yet given out
  int track = -1;
  std::uint64_t given = 0;
  // Sound.
  int channels = 0;
  std::vector<float> samples;
};

Opened& opened(void* container) { return *static_cast<Opened*>(container); }

/// Runs what may throw and tells the program how it went.
template <typename Work>
int guarded(DoorComplaint* complaint, const Work& work) {
  const char* why = "not known what went wrong";
  std::string kept;
  try {
    return work();
  } catch (const std::bad_alloc&) {
    why = "there is not enough memory for it";
  } catch (const std::exception& e) {
    kept = e.what();
    why = kept.c_str();
  } catch (...) {
  }
  std::snprintf(complaint->text, sizeof complaint->text, "%s", why);
  return -1;
}

void copy_name(char (&to)[64], const std::string& name) {
  std::snprintf(to, sizeof to, "%s", name.c_str());
}

void* open_container(const DoorBytes* bytes, DoorComplaint* complaint) {
  Opened* made = nullptr;
  guarded(complaint, [&] {
    made = new Opened(*bytes);
    return 1;
  });
  return made;
}

void close_container(void* container) { delete static_cast<Opened*>(container); }

int has_video(void* container) { return opened(container).demuxer.video() >= 0 ? 1 : 0; }
int has_sound(void* container) { return opened(container).demuxer.sound() >= 0 ? 1 : 0; }

/// By the picture's own tag, else the track's.
int transfer_of(const AVFrame& frame, const AVStream& stream) {
  return frame.color_trc != AVCOL_TRC_UNSPECIFIED ? frame.color_trc : stream.codecpar->color_trc;
}

int start_video(void* container, DoorVideo* video, DoorComplaint* complaint) {
  return guarded(complaint, [&] {
    Opened& o = opened(container);
    o.track = o.demuxer.video();
    if (o.track < 0) throw Complaint("holds no pictures");
    const AVStream& stream = *o.demuxer.stream(o.track);
    const bool still = o.demuxer.photograph();
    if (o.bytes.size >= 0 && !still) o.early_s = early_times_s(o.bytes, o.track);
    o.decoder.emplace(o.demuxer, o.track, o.bytes.most_pixels);
    o.first = o.decoder->next("frame");
    if (!o.first) throw Complaint("holds a header but no frame");
    if (is_interlaced(*o.first)) {
      throw Complaint(
          "is interlaced: its odd and even rows were exposed at different times. Film progressive, "
          "or deinterlace first, one frame per field: ffmpeg -i CLIP -vf bwdif=mode=send_field -f "
          "yuv4mpegpipe -");
    }
    const LumaFormat format = luma_format(*o.first);
    o.luma.emplace(format);
    copy_name(video->container, o.demuxer.name());
    copy_name(video->codec, avcodec_get_name(stream.codecpar->codec_id));
    video->width = format.width;
    video->height = format.height;
    video->bits = format.bits;
    video->full_range = format.full_range ? 1 : 0;
    video->grey = format.grey ? 1 : 0;
    video->transfer = transfer_of(*o.first, stream);
    video->still = still ? 1 : 0;
    const Turn turn = turn_of(stream, *o.first);
    video->turned_deg = turn.clockwise_deg;
    video->mirrored = turn.mirrored ? 1 : 0;
    video->capture_fps = capture_fps(*o.demuxer.format(), stream);
    if (!o.demuxer.untimed() && !still) {
      const AVRational rates[] = {stream.r_frame_rate, stream.avg_frame_rate};
      for (int i = 0; i < 2; ++i) {
        video->rates[i][0] = rates[i].num;
        video->rates[i][1] = rates[i].den;
      }
    }
    const std::int64_t duration = o.demuxer.format()->duration;
    if (duration > 0) video->duration_s = static_cast<double>(duration) / AV_TIME_BASE;
    video->early_times_s = o.early_s.data();
    video->early_times = o.early_s.size();
    return 1;
  });
}

int next_frame(void* container, DoorFrame* frame, DoorComplaint* complaint) {
  return guarded(complaint, [&] {
    Opened& o = opened(container);
    const AVFrame* now = o.first ? o.first : o.decoder->next("frame");
    o.first = nullptr;
    if (!now) return 0;
    try {
      frame->luma = o.luma->read(*now).data();
    } catch (const Complaint& c) {
      throw Complaint("frame " + std::to_string(o.given + 1) + " " + c.what());
    }
    ++o.given;
    const std::int64_t at = now->best_effort_timestamp;
    frame->timed = at != AV_NOPTS_VALUE && !o.demuxer.untimed() ? 1 : 0;
    if (frame->timed == 1) {
      frame->time_s = static_cast<double>(at) * av_q2d(o.demuxer.stream(o.track)->time_base);
    }
    return 1;
  });
}

/// Bits of a codec that gives back what was recorded; 0 for any other, and for floating samples.
int integer_bits(const AVCodecContext& codec, bool lossy) {
  const AVSampleFormat format = av_get_packed_sample_fmt(codec.sample_fmt);
  if (lossy || format == AV_SAMPLE_FMT_FLT || format == AV_SAMPLE_FMT_DBL) return 0;
  const int whole = 8 * av_get_bytes_per_sample(format);
  return codec.bits_per_raw_sample > 0 ? std::min(codec.bits_per_raw_sample, whole) : whole;
}

int start_sound(void* container, DoorSound* sound, DoorComplaint* complaint) {
  return guarded(complaint, [&] {
    Opened& o = opened(container);
    const int track = o.demuxer.sound();
    if (track < 0) throw Complaint("holds no sound");
    o.decoder.emplace(o.demuxer, track, o.bytes.most_pixels);
    const AVCodecContext& codec = o.decoder->codec();
    o.channels = channels_of(codec);
    if (o.channels < 1 || codec.sample_rate < 1) throw Complaint("its sound has no rate");
    const AVCodecDescriptor* kind = avcodec_descriptor_get(codec.codec_id);
    copy_name(sound->container, o.demuxer.name());
    copy_name(sound->codec, avcodec_get_name(codec.codec_id));
    sound->channels = o.channels;
    sound->rate_hz = codec.sample_rate;
    const bool lossless = kind && (kind->props & AV_CODEC_PROP_LOSSLESS) != 0;
    sound->lossy = lossless ? 0 : 1;
    sound->integer_bits = integer_bits(codec, !lossless);
    return 1;
  });
}

int next_samples(void* container, DoorSamples* samples, DoorComplaint* complaint) {
  return guarded(complaint, [&] {
    Opened& o = opened(container);
    o.samples.clear();
    while (o.samples.empty()) {
      const AVFrame* block = o.decoder->next("sound block");
      if (!block) return 0;
      append_samples(*block, o.channels, o.samples);
    }
    samples->interleaved = o.samples.data();
    samples->frames = o.samples.size() / static_cast<std::size_t>(o.channels);
    return 1;
  });
}

constexpr Door door = {containers::door_version,
                       open_container,
                       close_container,
                       has_video,
                       has_sound,
                       start_video,
                       start_sound,
                       next_frame,
                       next_samples};

}  // namespace

}  // namespace lampbeat::decoders

extern "C" __attribute__((visibility("default"))) const lampbeat::containers::Door*
lampbeat_containers() {
  return &lampbeat::decoders::door;
}
