#include "decoders/byte_reader.hpp"

#include <new>

namespace lampbeat::decoders {

namespace {

constexpr int buffer_bytes = 1 << 16;

}  // namespace

ByteReader::ByteReader(const containers::DoorBytes& bytes) : bytes_(bytes) {
  auto* buffer = static_cast<unsigned char*>(av_malloc(buffer_bytes));
  if (!buffer) throw std::bad_alloc();
  io_.reset(avio_alloc_context(buffer, buffer_bytes, 0, this, read, nullptr,
                               seekable() ? seek : nullptr));
  if (!io_) {
    av_free(buffer);
    throw std::bad_alloc();
  }
}

int ByteReader::read(void* self, std::uint8_t* into, int capacity) {
  auto& r = *static_cast<ByteReader*>(self);
  if (r.gave_up()) return AVERROR_EXIT;
  const std::int64_t got =
      r.bytes_.read_at(r.bytes_.source, static_cast<std::uint64_t>(r.position_),
                       reinterpret_cast<char*>(into), static_cast<std::size_t>(capacity));
  if (got < 0) return AVERROR(EIO);
  if (got == 0) return AVERROR_EOF;
  r.position_ += got;
  r.fruitless_ += got;
  return static_cast<int>(got);
}

std::int64_t ByteReader::seek(void* self, std::int64_t offset, int whence) {
  auto& r = *static_cast<ByteReader*>(self);
  if (whence & AVSEEK_SIZE) return r.bytes_.size;
  const int from = whence & ~AVSEEK_FORCE;
  std::int64_t base = 0;
  if (from == SEEK_CUR) base = r.position_;
  if (from == SEEK_END) base = r.bytes_.size;
  if (offset < -base || offset > INT64_MAX - base) return AVERROR(EINVAL);
  r.position_ = base + offset;
  return r.position_;
}

}  // namespace lampbeat::decoders
