#pragma once

#include <sndfile.h>

#include <cstdint>

#include "files/byte_source.hpp"

namespace lampbeat::capture::sound {

/// More bytes, and more frames, than any recording has: one whose end is not known ends there.
constexpr std::uint64_t endless = std::uint64_t{1} << 60;

/// The bytes libsndfile sees: the whole source, or only the samples of a live WAV.
struct SoundBytes {
  files::ByteSource source;
  std::uint64_t base = 0;
  std::uint64_t length = 0;
  std::uint64_t position = 0;

  explicit SoundBytes(files::ByteSource bytes) : source(std::move(bytes)) {}
};

/// libsndfile's way to read them, with the SoundBytes as its user data.
SF_VIRTUAL_IO access_to_bytes();

}  // namespace lampbeat::capture::sound
