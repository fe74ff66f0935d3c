#include <sndfile.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "capture/sound_file_writer.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat {
namespace {

struct CloseSound {
  void operator()(SNDFILE* file) const { sf_close(file); }
};
using SoundHandle = std::unique_ptr<SNDFILE, CloseSound>;

int major_and_subtype(SoundFormat format) {
  switch (format) {
    case SoundFormat::wav_float:
      return SF_FORMAT_WAV | SF_FORMAT_FLOAT;
    case SoundFormat::wav_16:
      return SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    case SoundFormat::flac_16:
      return SF_FORMAT_FLAC | SF_FORMAT_PCM_16;
    case SoundFormat::flac_24:
      break;
  }
  return SF_FORMAT_FLAC | SF_FORMAT_PCM_24;
}

bool is_flac(SoundFormat format) {
  return format == SoundFormat::flac_16 || format == SoundFormat::flac_24;
}

bool ends_with_ignoring_case(const std::string& text, const std::string& ending) {
  if (text.size() < ending.size()) return false;
  return std::equal(ending.begin(), ending.end(), text.end() - static_cast<long>(ending.size()),
                    [](char wanted, char c) {
                      return wanted == (c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c);
                    });
}

}  // namespace

std::optional<SoundFormat> sound_format_for(const std::string& path) {
  if (ends_with_ignoring_case(path, ".wav")) return SoundFormat::wav_float;
  if (ends_with_ignoring_case(path, ".flac")) return SoundFormat::flac_24;
  return std::nullopt;
}

struct SoundFileWriter::State {
  std::string path;
  std::string growing_path;  ///< where the samples gather until the file is complete
  SoundFormat format = SoundFormat::wav_float;
  SoundHandle file;
  std::uint64_t frames = 0;

  [[noreturn]] void fail(const std::string& what) const {
    throw OutputError(
        fmt::format("{} cannot be written: {}; check the folder and the free space", path, what));
  }
};

SoundFileWriter::SoundFileWriter(const std::string& path, SoundFormat format, int rate_hz)
    : state_(std::make_unique<State>()) {
  constexpr int flac_highest_rate_hz = 655350;
  if (rate_hz < 1 || (is_flac(format) && rate_hz > flac_highest_rate_hz)) {
    throw UsageError(fmt::format("a sound file cannot have {} samples per second; {}", rate_hz,
                                 is_flac(format) ? "FLAC takes 1 to 655350" : "at least 1"));
  }
  state_->path = path;
  state_->growing_path = fmt::format("{}.{}.part", path, ::getpid());
  state_->format = format;
  SF_INFO info{};
  info.samplerate = rate_hz;
  info.channels = 1;
  info.format = major_and_subtype(format);
  state_->file.reset(sf_open(state_->growing_path.c_str(), SFM_WRITE, &info));
  if (!state_->file) state_->fail(sf_strerror(nullptr));
  // Without its time stamp, equal samples make equal files.
  sf_command(state_->file.get(), SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);
}

SoundFileWriter::~SoundFileWriter() {
  if (!state_->file) return;
  state_->file.reset();
  std::remove(state_->growing_path.c_str());
}

void SoundFileWriter::write(std::span<const double> value) {
  constexpr std::uint64_t wav_limit_bytes = 0xFFFF0000;  // 32-bit chunk length less the header
  const std::uint64_t bytes_per_frame = state_->format == SoundFormat::wav_float ? 4 : 2;
  state_->frames += value.size();
  if (!is_flac(state_->format) && state_->frames * bytes_per_frame > wav_limit_bytes) {
    state_->fail("a WAV file ends at 4 GB, so make it shorter or write FLAC");
  }
  constexpr std::size_t chunk = 4096;
  SNDFILE* const file = state_->file.get();
  while (!value.empty()) {
    const auto part = value.first(std::min(chunk, value.size()));
    const auto count = static_cast<sf_count_t>(part.size());
    sf_count_t written = 0;
    if (state_->format == SoundFormat::wav_float) {
      std::array<float, chunk> samples;
      std::transform(part.begin(), part.end(), samples.begin(),
                     [](double v) { return static_cast<float>(v); });
      written = sf_write_float(file, samples.data(), count);
    } else {
      // libsndfile reads code / 2^(bits − 1) but writes value · (2^(bits − 1) − 1); scaling here
      // keeps one step one step. Integers go through it in the upper bits of 32.
      const double steps = state_->format == SoundFormat::flac_24 ? 8388608.0 : 32768.0;
      const int shift = state_->format == SoundFormat::flac_24 ? 256 : 65536;
      std::array<int, chunk> samples;
      std::transform(part.begin(), part.end(), samples.begin(), [&](double v) {
        return static_cast<int>(std::clamp(std::nearbyint(v * steps), -steps, steps - 1.0)) * shift;
      });
      written = sf_write_int(file, samples.data(), count);
    }
    if (written != count) state_->fail(sf_strerror(file));
    value = value.subspan(part.size());
  }
}

void SoundFileWriter::close() {
  if (!state_->file) return;
  sf_write_sync(state_->file.get());
  const int trouble = sf_close(state_->file.release());
  if (trouble != 0 || std::rename(state_->growing_path.c_str(), state_->path.c_str()) != 0) {
    std::remove(state_->growing_path.c_str());
    state_->fail(trouble != 0 ? sf_error_number(trouble) : "its name cannot be used");
  }
}

}  // namespace lampbeat
