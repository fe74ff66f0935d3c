#include "capture/sound/sound_bytes.hpp"

#include <algorithm>
#include <cstdio>

namespace lampbeat::capture::sound {
namespace {

sf_count_t length_of(void* user) {
  return static_cast<sf_count_t>(static_cast<SoundBytes*>(user)->length);
}

sf_count_t seek_in(sf_count_t offset, int whence, void* user) {
  auto& bytes = *static_cast<SoundBytes*>(user);
  const auto start = whence == SEEK_SET   ? sf_count_t{0}
                     : whence == SEEK_CUR ? static_cast<sf_count_t>(bytes.position)
                                          : static_cast<sf_count_t>(bytes.length);
  sf_count_t target = 0;
  if (__builtin_add_overflow(start, offset, &target) || target < 0) return -1;
  bytes.position = static_cast<std::uint64_t>(target);
  return target;
}

sf_count_t read_from(void* buffer, sf_count_t count, void* user) {
  auto& bytes = *static_cast<SoundBytes*>(user);
  if (count <= 0 || bytes.position >= bytes.length) return 0;
  const std::uint64_t wanted =
      std::min(static_cast<std::uint64_t>(count), bytes.length - bytes.position);
  const std::size_t got =
      bytes.source.read_at(bytes.base + bytes.position, static_cast<char*>(buffer), wanted);
  bytes.position += got;
  return static_cast<sf_count_t>(got);
}

sf_count_t write_nothing(const void*, sf_count_t, void*) { return 0; }

sf_count_t position_of(void* user) {
  return static_cast<sf_count_t>(static_cast<SoundBytes*>(user)->position);
}

}  // namespace

SF_VIRTUAL_IO access_to_bytes() {
  return {length_of, seek_in, read_from, write_nothing, position_of};
}

}  // namespace lampbeat::capture::sound
