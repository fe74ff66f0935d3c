#pragma once

#include <cstdint>
#include <optional>

#include "files/byte_source.hpp"

namespace lampbeat::capture::sound {

/// How plain WAV samples are stored; what a live pipe needs to be read without seeking.
struct PlainSamples {
  enum Coding { integer = 1, floating = 3, a_law = 6, mu_law = 7 };  ///< RFC 2361, appendix A
  int format_tag = 0;  ///< one of these, or of those that need a decoder
  int bits = 0;
  int channels = 0;
  int rate_hz = 0;
  int frame_bytes = 0;
};

/// What a chunked sound file (WAV, RF64, RIFX, W64, AIFF, CAF, AU) promises about its samples.
struct SoundHeader {
  std::uint64_t audio_offset = 0;  ///< bytes before the first sample
  /// Bytes of samples promised; empty when the recorder could not know (a live recording writes 0
  /// or the largest number).
  std::optional<std::uint64_t> audio_bytes;
  std::optional<PlainSamples> plain;  ///< for little-endian WAV and RF64
};

/// Walks the chunks up to the samples; empty for FLAC, and when the chunks make no sense.
std::optional<SoundHeader> read_sound_header(files::ByteSource& source);

}  // namespace lampbeat::capture::sound
