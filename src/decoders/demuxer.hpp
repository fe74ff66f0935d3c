#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "decoders/byte_reader.hpp"

namespace lampbeat::decoders {

/// A container taken apart into packets.
class Demuxer {
 public:
  /// Throws Complaint for what is no container of pictures or sound.
  explicit Demuxer(const containers::DoorBytes& bytes);

  AVFormatContext* format() { return format_.get(); }
  /// The track's number; -1 when there is none. A cover picture is no video.
  int video() const { return video_; }
  int sound() const { return sound_; }
  AVStream* stream(int track) { return format_->streams[track]; }
  /// Its short name: "mov", "matroska".
  std::string name() const;
  bool photograph() const;
  /// Frames carry no times: bare streams of a codec.
  bool untimed() const;

  /// Leaves the other tracks unread.
  void choose(int track);
  /// The next packet of the chosen track; false at the end. Throws Complaint.
  bool read(AVPacket& packet);
  /// Packets so far.
  std::uint64_t packets() const { return packets_; }
  /// The index promises more than came.
  bool cut_short();
  void came() { bytes_.came(); }
  /// Not a pipe.
  bool seekable() const { return bytes_.seekable(); }

 private:
  ByteReader bytes_;
  FormatOwner format_;  // before the bytes it reads are gone
  int video_ = -1;
  int sound_ = -1;
  int chosen_ = -1;
  std::uint64_t packets_ = 0;
};

/// When the first pictures of the track are shown, in s, in the order they are stored.
std::vector<double> early_times_s(const containers::DoorBytes& bytes, int track);

}  // namespace lampbeat::decoders
