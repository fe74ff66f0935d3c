#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <limits>
#include <optional>
#include <string_view>
#include <vector>

// As much of libsndfile's interface as `capture/sound` asks for, for plain WAV (RIFF/WAVE, IBM and
// Microsoft 1991; RFC 2361): integers of 8 to 32 bits and floating numbers. What else people drop
// on the page, their browser decodes, and it arrives here as WAV too. Scales are libsndfile's.

struct sf_private_tag {
  SF_VIRTUAL_IO io{};
  void* user = nullptr;
  int subtype = 0;
  sf_count_t channels = 1;
  sf_count_t sample_bytes = 0;
  sf_count_t first_byte = 0;
  sf_count_t end_byte = 0;
  std::vector<unsigned char> bytes;
};

namespace {

constexpr const char* no_wave = "the page reads plain WAV";

struct Layout {
  int subtype = 0;
  int channels = 0;
  int rate_hz = 0;
  sf_count_t first_byte = 0;
  sf_count_t audio_bytes = 0;
};

std::uint32_t little_endian(const unsigned char* bytes, int count) {
  std::uint32_t value = 0;
  for (int i = count - 1; i >= 0; --i) value = value << 8 | bytes[i];
  return value;
}

sf_count_t bytes_of(int subtype) {
  switch (subtype) {
    case SF_FORMAT_PCM_U8:
      return 1;
    case SF_FORMAT_PCM_16:
      return 2;
    case SF_FORMAT_PCM_24:
      return 3;
    case SF_FORMAT_PCM_32:
    case SF_FORMAT_FLOAT:
      return 4;
    case SF_FORMAT_DOUBLE:
      return 8;
    default:
      return 0;
  }
}

int subtype_of(std::uint32_t coding, std::uint32_t bits) {
  if (coding == 3) return bits == 32 ? SF_FORMAT_FLOAT : bits == 64 ? SF_FORMAT_DOUBLE : 0;
  if (coding != 1) return 0;
  switch (bits) {
    case 8:
      return SF_FORMAT_PCM_U8;
    case 16:
      return SF_FORMAT_PCM_16;
    case 24:
      return SF_FORMAT_PCM_24;
    case 32:
      return SF_FORMAT_PCM_32;
    default:
      return 0;
  }
}

/// Walks the chunks to the samples.
std::optional<Layout> layout_of(const SF_VIRTUAL_IO& io, void* user) {
  std::array<unsigned char, 40> bytes{};
  const auto name_is = [&](std::size_t at, std::string_view name) {
    return std::memcmp(bytes.data() + at, name.data(), 4) == 0;
  };
  if (io.seek(0, SEEK_SET, user) != 0 || io.read(bytes.data(), 12, user) != 12) return {};
  if (!name_is(0, "RIFF") || !name_is(8, "WAVE")) return {};
  Layout layout;
  const sf_count_t length = io.get_filelen(user);
  for (sf_count_t at = 12; at + 8 <= length;) {
    if (io.seek(at, SEEK_SET, user) != at || io.read(bytes.data(), 8, user) != 8) return {};
    const auto size = static_cast<sf_count_t>(little_endian(&bytes[4], 4));
    if (name_is(0, "data")) {
      layout.first_byte = at + 8;
      layout.audio_bytes = std::min(size, length - layout.first_byte);
      return layout.subtype == 0 ? std::nullopt : std::optional(layout);
    }
    if (name_is(0, "fmt ") && size >= 16) {
      const sf_count_t wanted = std::min<sf_count_t>(size, 40);
      if (io.read(bytes.data(), wanted, user) != wanted) return {};
      constexpr std::uint32_t extensible = 0xFFFE;
      std::uint32_t coding = little_endian(&bytes[0], 2);
      if (coding == extensible && size >= 26) coding = little_endian(&bytes[24], 2);
      layout.channels = static_cast<int>(little_endian(&bytes[2], 2));
      layout.rate_hz = static_cast<int>(little_endian(&bytes[4], 4) & 0x7FFFFFFF);
      layout.subtype = subtype_of(coding, little_endian(&bytes[14], 2));
    }
    at += 8 + size + size % 2;
  }
  return {};
}

/// One sample of full scale 1.
double sample_at(const unsigned char* bytes, int subtype) {
  const auto integer = [&](int count) {
    const int unused = 32 - 8 * count;
    return static_cast<double>(static_cast<std::int32_t>(little_endian(bytes, count) << unused)) /
           2147483648.0;
  };
  switch (subtype) {
    case SF_FORMAT_PCM_U8:
      return (static_cast<double>(bytes[0]) - 128.0) / 128.0;
    case SF_FORMAT_PCM_16:
      return integer(2);
    case SF_FORMAT_PCM_24:
      return integer(3);
    case SF_FORMAT_PCM_32:
      return integer(4);
    case SF_FORMAT_FLOAT: {
      float value = 0.0F;
      std::memcpy(&value, bytes, sizeof value);
      return static_cast<double>(value);
    }
    default: {
      double value = 0.0;
      std::memcpy(&value, bytes, sizeof value);
      return value;
    }
  }
}

/// Reads frames, `scale` times as large as full scale 1.
template <typename Sample>
sf_count_t read_frames(SNDFILE* file, Sample* samples, sf_count_t frames, double scale) {
  const sf_count_t frame_bytes = file->channels * file->sample_bytes;
  frames = std::min(frames, (file->end_byte - file->io.tell(file->user)) / frame_bytes);
  if (frames <= 0) return 0;
  file->bytes.resize(static_cast<std::size_t>(frames * frame_bytes));
  const sf_count_t got =
      file->io.read(file->bytes.data(), frames * frame_bytes, file->user) / frame_bytes;
  const unsigned char* from = file->bytes.data();
  for (sf_count_t i = 0; i < got * file->channels; ++i, from += file->sample_bytes) {
    samples[i] = static_cast<Sample>(scale * sample_at(from, file->subtype));
  }
  return got;
}

}  // namespace

extern "C" {

SNDFILE* sf_open_virtual(SF_VIRTUAL_IO* io, int, SF_INFO* info, void* user) {
  Layout layout;
  if ((info->format & SF_FORMAT_TYPEMASK) == SF_FORMAT_RAW) {
    layout = {info->format & SF_FORMAT_SUBMASK, info->channels, info->samplerate, 0,
              io->get_filelen(user)};
  } else if (const auto found = layout_of(*io, user)) {
    layout = *found;
  }
  const sf_count_t sample_bytes = bytes_of(layout.subtype);
  if (sample_bytes == 0 || layout.channels < 1 || layout.channels > 1024) return nullptr;
  info->format =
      (info->format & SF_FORMAT_TYPEMASK ? info->format & SF_FORMAT_TYPEMASK : SF_FORMAT_WAV) |
      layout.subtype;
  info->channels = layout.channels;
  info->samplerate = layout.rate_hz;
  info->frames = layout.audio_bytes / (sample_bytes * layout.channels);
  info->seekable = 1;
  io->seek(layout.first_byte, SEEK_SET, user);
  return new sf_private_tag{*io,
                            user,
                            layout.subtype,
                            layout.channels,
                            sample_bytes,
                            layout.first_byte,
                            layout.first_byte + layout.audio_bytes,
                            {}};
}

int sf_close(SNDFILE* file) {
  delete file;
  return 0;
}

sf_count_t sf_seek(SNDFILE* file, sf_count_t frames, int) {
  const sf_count_t target = file->first_byte + frames * file->channels * file->sample_bytes;
  return file->io.seek(target, SEEK_SET, file->user) == target ? frames : -1;
}

sf_count_t sf_readf_short(SNDFILE* file, short* samples, sf_count_t frames) {
  return read_frames(file, samples, frames, 32768.0);
}

sf_count_t sf_readf_float(SNDFILE* file, float* samples, sf_count_t frames) {
  return read_frames(file, samples, frames, 1.0);
}

sf_count_t sf_readf_double(SNDFILE* file, double* samples, sf_count_t frames) {
  return read_frames(file, samples, frames, 1.0);
}

int sf_error(SNDFILE*) { return SF_ERR_NO_ERROR; }
const char* sf_error_number(int) { return no_wave; }
const char* sf_strerror(SNDFILE*) { return no_wave; }

}  // extern "C"
