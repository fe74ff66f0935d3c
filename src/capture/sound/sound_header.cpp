// Chunk layouts: RIFF/WAVE (IBM/Microsoft 1991, RFC 2361), RF64 (EBU Tech 3306), Wave64, AIFF and
// AIFF-C, CAF, AU: a name, a length, that many bytes, again and again.

#include "capture/sound/sound_header.hpp"

#include <array>
#include <string_view>

namespace lampbeat::capture::sound {
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

std::optional<SoundHeader> read_au_header(files::ByteSource& source) {
  std::array<unsigned char, 12> bytes{};
  if (source.read_at(0, reinterpret_cast<char*>(bytes.data()), 12) < 12) return {};
  SoundHeader header;
  header.audio_offset = number_at(&bytes[4], 4, true);
  const std::uint64_t length = number_at(&bytes[8], 4, true);
  if (!means_unknown(length, 4)) header.audio_bytes = length;
  return header;
}

const ChunkStyle* style_of(std::string_view head) {
  for (const ChunkStyle& style : styles) {
    if (head.starts_with(style.magic)) return &style;
  }
  return nullptr;
}

struct Chunk {
  std::array<unsigned char, 64> bytes{};  ///< its first, header and all
  std::size_t got = 0;                    ///< of those
  std::size_t header_bytes = 0;
  std::uint64_t length = 0;  ///< as it is written

  std::string_view name() const { return {reinterpret_cast<const char*>(bytes.data()), 4}; }
  const unsigned char* content() const { return bytes.data() + header_bytes; }
  bool holds(std::size_t content_bytes) const { return got >= header_bytes + content_bytes; }
};

std::optional<Chunk> read_chunk(files::ByteSource& source, const ChunkStyle& style,
                                std::uint64_t position) {
  Chunk chunk;
  if (!source.seekable()) source.look(static_cast<std::size_t>(position) + chunk.bytes.size());
  chunk.got =
      source.read_at(position, reinterpret_cast<char*>(chunk.bytes.data()), chunk.bytes.size());
  chunk.header_bytes = style.name_bytes + static_cast<std::size_t>(style.length_bytes);
  if (!chunk.holds(0)) return std::nullopt;
  chunk.length =
      number_at(chunk.bytes.data() + style.name_bytes, style.length_bytes, style.big_endian);
  return chunk;
}

/// Bytes of samples in the audio chunk; empty when the recorder could not know.
std::optional<std::uint64_t> audio_bytes(const ChunkStyle& style, const Chunk& audio,
                                         const std::optional<std::uint64_t>& long_length) {
  constexpr std::uint64_t see_long_length = 0xFFFFFFFF;
  if (long_length && audio.length == see_long_length) {
    return *long_length != 0 ? long_length : std::nullopt;
  }
  if (means_unknown(audio.length, style.length_bytes)) return std::nullopt;
  const std::uint64_t overhead =
      style.before_samples + (style.length_counts_header ? audio.header_bytes : 0);
  return audio.length > overhead ? audio.length - overhead : 0;
}

/// Bytes a chunk holds behind its own header; empty when its length makes no sense.
std::optional<std::uint64_t> content_bytes(const ChunkStyle& style, const Chunk& chunk) {
  if (!style.length_counts_header) return chunk.length;
  if (chunk.length < chunk.header_bytes) return std::nullopt;
  return chunk.length - chunk.header_bytes;
}

/// Where the next chunk begins; empty where none can be reached.
std::optional<std::uint64_t> place_behind(const ChunkStyle& style, std::uint64_t position,
                                          const Chunk& chunk, std::uint64_t length, bool seekable) {
  constexpr std::uint64_t longest_chunk = std::uint64_t{1} << 62;        // keeps sums in 64 bits
  constexpr std::uint64_t longest_pipe_header = std::uint64_t{1} << 22;  // it is kept in memory
  if (length > longest_chunk - position) return std::nullopt;
  position += chunk.header_bytes + length;
  position += (style.alignment - position % style.alignment) % style.alignment;
  if (!seekable && position > longest_pipe_header) return std::nullopt;
  return position;
}

}  // namespace

std::optional<SoundHeader> read_sound_header(files::ByteSource& source) {
  const std::string_view head = source.look(16);
  if (head.substr(0, 4) == ".snd") return read_au_header(source);
  const ChunkStyle* const style = style_of(head);
  if (!style) return {};

  constexpr int most_chunks = 10000;
  SoundHeader header;
  std::optional<std::uint64_t> long_length;  // RF64 keeps that of its samples in its first chunk
  std::optional<std::uint64_t> position = style->first_chunk;
  for (int i = 0; i < most_chunks && position; ++i) {
    const auto chunk = read_chunk(source, *style, *position);
    if (!chunk) return {};
    if (chunk->name() == style->audio_chunk) {
      header.audio_offset = *position + chunk->header_bytes + style->before_samples;
      header.audio_bytes = audio_bytes(*style, *chunk, long_length);
      return header;
    }
    const auto length = content_bytes(*style, *chunk);
    if (!length) return {};
    if (chunk->name() == "ds64" && chunk->holds(16)) {
      long_length = number_at(chunk->content() + 8, 8, false);
    }
    const bool little_riff = !style->big_endian && style->name_bytes == 4;
    if (chunk->name() == "fmt " && little_riff && *length >= 16 && chunk->holds(16)) {
      header.plain = plain_samples(chunk->content(), *length);
    }
    position = place_behind(*style, *position, *chunk, *length, source.seekable());
  }
  return {};
}

}  // namespace lampbeat::capture::sound
