#pragma once

#include "containers/door.hpp"
#include "decoders/libav.hpp"

namespace lampbeat::decoders {

/// The program's bytes, as libavformat wants them.
class ByteReader {
 public:
  explicit ByteReader(const containers::DoorBytes& bytes);
  ByteReader(const ByteReader&) = delete;  // libavformat holds its address
  ByteReader& operator=(const ByteReader&) = delete;

  AVIOContext* io() { return io_.get(); }
  bool seekable() const { return bytes_.size >= 0; }
  /// A picture or samples came: reading may go on.
  void came() { fruitless_ = 0; }
  /// So much was read and nothing came of it that it was given up.
  bool gave_up() const { return fruitless_ > most_fruitless; }

 private:
  // Bytes: far more than lies between two pictures of any clip. A damaged index must not send the
  // reader round and round.
  static constexpr std::int64_t most_fruitless = std::int64_t{2} << 30;

  static int read(void* self, std::uint8_t* into, int capacity);
  static std::int64_t seek(void* self, std::int64_t offset, int whence);

  containers::DoorBytes bytes_;
  std::int64_t position_ = 0;
  std::int64_t fruitless_ = 0;
  IoOwner io_;
};

}  // namespace lampbeat::decoders
