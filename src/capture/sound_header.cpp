// Chunk layouts: RIFF/WAVE (IBM/Microsoft 1991, RFC 2361), RF64 (EBU Tech 3306), Wave64, AIFF and
// AIFF-C, CAF, AU: a name, a length, that many bytes, again and again.

#include "capture/sound_header.hpp"

#include <array>
#include <cstring>
#include <string_view>

namespace lampbeat {
namespace {

using namespace std::string_view_literals;

std::uint64_t number_at(const unsigned char* bytes, int count, bool big_endian) {
  std::uint64_t value = 0;
  for (int i = 0; i < count; ++i) {
    value = value << 8 | bytes[big_endian ? i : count - 1 - i];
  }
  return value;
}

/// How one family of formats writes its chunks.
struct ChunkStyle {
  std::string_view magic;
  std::uint64_t first_chunk;  ///< bytes of file header
  std::size_t name_bytes;     ///< 4, or 16 for the identifiers of Wave64
  int length_bytes;
  bool big_endian;
  bool length_counts_header;
  std::uint64_t alignment;
  std::string_view audio_chunk;
  std::uint64_t before_samples;  ///< bytes inside the audio chunk that are not samples
};

constexpr std::array styles = {
    ChunkStyle{"RIFF", 12, 4, 4, false, false, 2, "data", 0},
    ChunkStyle{"RF64", 12, 4, 4, false, false, 2, "data", 0},
    ChunkStyle{"BW64", 12, 4, 4, false, false, 2, "data", 0},
    ChunkStyle{"RIFX", 12, 4, 4, true, false, 2, "data", 0},
    ChunkStyle{"FORM", 12, 4, 4, true, false, 2, "SSND", 8},
    ChunkStyle{"caff", 8, 4, 8, true, false, 1, "data", 4},
    ChunkStyle{"riff\x2E\x91\xCF\x11"sv, 40, 16, 8, false, true, 8, "data", 0},
};

/// Lengths that recorders write when they cannot know: nothing, or about 2 or 4 GB.
bool means_unknown(std::uint64_t length, int length_bytes) {
  constexpr std::uint64_t slack = 0x10000;
  if (length == 0) return true;
  if (length_bytes == 8) return length >= 0x7FFFFFFFFFFF0000;
  return length >= 0xFFFFFFFF - slack ||
         (length >= 0x7FFFFFFF - slack && length <= 0x7FFFFFFF + slack);
}

std::optional<PlainSamples> plain_samples(const unsigned char* fmt_chunk, std::uint64_t length) {
  constexpr int extensible = 0xFFFE;
  PlainSamples plain;
  plain.format_tag = static_cast<int>(number_at(fmt_chunk, 2, false));
  plain.channels = static_cast<int>(number_at(fmt_chunk + 2, 2, false));
  const std::uint64_t rate_hz = number_at(fmt_chunk + 4, 4, false);
  plain.frame_bytes = static_cast<int>(number_at(fmt_chunk + 12, 2, false));
  plain.bits = static_cast<int>(number_at(fmt_chunk + 14, 2, false));
  if (plain.format_tag == extensible && length >= 26) {
    plain.format_tag = static_cast<int>(number_at(fmt_chunk + 24, 2, false));
  }
  if (rate_hz < 1 || rate_hz > 0x7FFFFFFF || plain.channels < 1 || plain.bits < 1) return {};
  plain.rate_hz = static_cast<int>(rate_hz);
  return plain;
}

std::optional<SoundHeader> read_au_header(ByteSource& source) {
  std::array<unsigned char, 12> bytes{};
  if (source.read_at(0, reinterpret_cast<char*>(bytes.data()), 12) < 12) return {};
  SoundHeader header;
  header.audio_offset = number_at(&bytes[4], 4, true);
  const std::uint64_t length = number_at(&bytes[8], 4, true);
  if (!means_unknown(length, 4)) header.audio_bytes = length;
  return header;
}

}  // namespace

std::optional<SoundHeader> read_sound_header(ByteSource& source) {
  const std::string_view head = source.look(16);
  if (head.substr(0, 4) == ".snd") return read_au_header(source);
  const ChunkStyle* style = nullptr;
  for (const ChunkStyle& candidate : styles) {
    if (head.substr(0, candidate.magic.size()) == candidate.magic) style = &candidate;
  }
  if (!style) return {};

  constexpr int most_chunks = 10000;
  SoundHeader header;
  std::optional<std::uint64_t> long_data_length;  // RF64 keeps it in its first chunk
  std::uint64_t position = style->first_chunk;
  for (int chunk = 0; chunk < most_chunks; ++chunk) {
    std::array<unsigned char, 64> bytes{};
    if (!source.seekable()) source.look(static_cast<std::size_t>(position) + bytes.size());
    const std::size_t got =
        source.read_at(position, reinterpret_cast<char*>(bytes.data()), bytes.size());
    const std::size_t chunk_header =
        style->name_bytes + static_cast<std::size_t>(style->length_bytes);
    if (got < chunk_header) return {};
    const std::string_view name(reinterpret_cast<const char*>(bytes.data()), 4);
    std::uint64_t length =
        number_at(bytes.data() + style->name_bytes, style->length_bytes, style->big_endian);
    if (name == style->audio_chunk) {
      header.audio_offset = position + chunk_header + style->before_samples;
      if (long_data_length && length == 0xFFFFFFFF) {
        if (*long_data_length != 0) header.audio_bytes = long_data_length;
        return header;
      }
      if (means_unknown(length, style->length_bytes)) return header;
      const std::uint64_t overhead =
          style->before_samples + (style->length_counts_header ? chunk_header : 0);
      header.audio_bytes = length > overhead ? length - overhead : 0;
      return header;
    }
    if (style->length_counts_header) {
      if (length < chunk_header) return {};
      length -= chunk_header;
    }
    if (name == "ds64" && got >= chunk_header + 16) {
      long_data_length = number_at(bytes.data() + chunk_header + 8, 8, false);
    }
    if (name == "fmt " && !style->big_endian && style->name_bytes == 4 && length >= 16 &&
        got >= chunk_header + 16) {
      header.plain = plain_samples(bytes.data() + chunk_header, length);
    }
    constexpr std::uint64_t longest_chunk = std::uint64_t{1} << 62;
    constexpr std::uint64_t longest_pipe_header = std::uint64_t{1} << 22;
    if (length > longest_chunk - position) return {};
    position += chunk_header + length;
    position += (style->alignment - position % style->alignment) % style->alignment;
    if (!source.seekable() && position > longest_pipe_header) return {};
  }
  return {};
}

}  // namespace lampbeat
