#include "decoders/demuxer.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <new>
#include <string_view>

namespace lampbeat::decoders {

namespace {

// Less than this is a guess by the look of the bytes: text becomes an animation by it.
constexpr int least_sure = AVPROBE_SCORE_EXTENSION / 2 + 1;
// Pictures whose times tell the rate: more than a minute at 30 a second.
constexpr std::size_t most_early = 2000;

/// Formats that are no recording of their own: lists of other files, text drawn as pictures, data;
/// and the one that the program reads by itself, and more strictly.
constexpr std::array<std::string_view, 10> not_recordings = {
    "concat", "hls", "dash", "tty", "bin", "xbin", "rawvideo", "imf", "lavfi", "yuv4mpegpipe"};

/// Nothing beside the bytes given is opened, whatever the file names.
int open_nothing(AVFormatContext*, AVIOContext**, const char*, int, AVDictionary**) {
  return AVERROR(EACCES);
}

std::string first_name(const char* names) {
  const std::string_view all = names ? names : "";
  return std::string(all.substr(0, all.find(',')));
}

const AVInputFormat* recognised(AVIOContext* io) {
#if LIBAVFORMAT_VERSION_MAJOR >= 59
  const AVInputFormat* kind = nullptr;
#else
  AVInputFormat* kind = nullptr;
#endif
  const int score = av_probe_input_buffer2(io, &kind, "", nullptr, 0, 0);
  const std::string name = first_name(kind ? kind->name : nullptr);
  const bool recording =
      std::find(not_recordings.begin(), not_recordings.end(), name) == not_recordings.end();
  if (score < least_sure || !kind || !recording) {
    throw Complaint("is neither a clip nor a photograph nor sound of a kind that is known");
  }
  return kind;
}

/// Looks into the tracks, with pictures no larger there either.
int find_streams(AVFormatContext* format, std::int64_t most_pixels) {
  std::vector<AVDictionary*> options(format->nb_streams, nullptr);
  for (AVDictionary*& o : options) av_dict_set_int(&o, "max_pixels", most_pixels, 0);
  const int found = avformat_find_stream_info(format, options.empty() ? nullptr : options.data());
  for (AVDictionary*& o : options) av_dict_free(&o);
  return found;
}

int moving_pictures(AVFormatContext* format) {
  const int best = av_find_best_stream(format, AVMEDIA_TYPE_VIDEO, -1, -1, nullptr, 0);
  if (best < 0) return -1;
  const bool cover = (format->streams[best]->disposition & AV_DISPOSITION_ATTACHED_PIC) != 0;
  return cover ? -1 : best;
}

}  // namespace

Demuxer::Demuxer(const containers::DoorBytes& bytes) : bytes_(bytes) {
  av_log_set_level(AV_LOG_QUIET);
  const AVInputFormat* kind = recognised(bytes_.io());
  AVFormatContext* format = avformat_alloc_context();
  if (!format) throw std::bad_alloc();
  format->pb = bytes_.io();
  format->io_open = open_nothing;
  format->protocol_whitelist = av_strdup("none");
  format->flags |= AVFMT_FLAG_CUSTOM_IO;
  // Frees the context when it fails.
#if LIBAVFORMAT_VERSION_MAJOR >= 59
  const int opened = avformat_open_input(&format, nullptr, kind, nullptr);
#else
  const int opened =
      avformat_open_input(&format, nullptr, const_cast<AVInputFormat*>(kind), nullptr);
#endif
  if (opened < 0) {
    throw Complaint("looks like " + first_name(kind->name) + ", but its header cannot be read (" +
                    error_words(opened) + "); it is damaged, or its recording was never closed");
  }
  format_.reset(format);
  const int streams = find_streams(format, bytes.most_pixels);
  if (streams < 0) {
    throw Complaint("its tracks cannot be read (" + error_words(streams) + "); it is damaged");
  }
  video_ = moving_pictures(format);
  sound_ = av_find_best_stream(format, AVMEDIA_TYPE_AUDIO, -1, -1, nullptr, 0);
  bytes_.came();
}

std::string Demuxer::name() const { return first_name(format_->iformat->name); }

bool Demuxer::photograph() const { return name().ends_with("_pipe"); }

bool Demuxer::untimed() const { return (format_->iformat->flags & AVFMT_NOTIMESTAMPS) != 0; }

void Demuxer::choose(int track) {
  chosen_ = track;
  for (unsigned i = 0; i < format_->nb_streams; ++i) {
    if (static_cast<int>(i) != track) format_->streams[i]->discard = AVDISCARD_ALL;
  }
}

bool Demuxer::read(AVPacket& packet) {
  for (;;) {
    const int got = av_read_frame(format_.get(), &packet);
    if (got == AVERROR_EOF) return false;
    if (bytes_.gave_up()) throw Complaint("its index leads nowhere; it is damaged");
    if (got < 0 && !bytes_.seekable()) {
      throw Complaint(
          "its container cannot be read through a pipe, which does not go back; give "
          "the file by its name (" +
          error_words(got) + ")");
    }
    if (got < 0) throw Complaint("reading stopped (" + error_words(got) + ")");
    if (packet.stream_index == chosen_) break;
    av_packet_unref(&packet);
  }
  ++packets_;
  return true;
}

bool Demuxer::cut_short() {
  const int promised = avformat_index_get_entries_count(stream(chosen_));
  return promised > 0 && packets_ < static_cast<std::uint64_t>(promised);
}

std::vector<double> early_times_s(const containers::DoorBytes& bytes, int track) {
  std::vector<double> times_s;
  try {
    Demuxer first(bytes);
    if (first.untimed()) return {};
    first.choose(track);
    const PacketOwner packet(av_packet_alloc());
    if (!packet) throw std::bad_alloc();
    const double tick_s = av_q2d(first.stream(track)->time_base);
    while (times_s.size() < most_early && first.read(*packet)) {
      const bool shown = (packet->flags & AV_PKT_FLAG_DISCARD) == 0;
      if (shown && packet->pts != AV_NOPTS_VALUE) {
        times_s.push_back(static_cast<double>(packet->pts) * tick_s);
      }
      av_packet_unref(packet.get());
      first.came();
    }
  } catch (const Complaint&) {
    // Whoever reads it in earnest says what is wrong, and at which frame.
  }
  return times_s;
}

}  // namespace lampbeat::decoders
