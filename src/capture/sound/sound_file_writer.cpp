#include "capture/sound/sound_file_writer.hpp"

#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include <fmt/format.h>

#include "capture/sound/sndfile_handle.hpp"
#include "files/draft.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::capture::sound {
namespace {

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
                      return wanted ==
                             (c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c);
                    });
}

/// Samples go to libsndfile in pieces of so many.
constexpr std::size_t chunk = 4096;

sf_count_t write_floats(SNDFILE* file, std::span<const double> part) {
  std::array<float, chunk> samples;
  std::transform(part.begin(), part.end(), samples.begin(),
                 [](double v) { return static_cast<float>(v); });
  return sf_write_float(file, samples.data(), static_cast<sf_count_t>(part.size()));
}

/// libsndfile reads code / 2^(bits − 1) but writes value · (2^(bits − 1) − 1); scaling here keeps
/// one step one step. Integers go through it in the upper bits of 32.
sf_count_t write_integers(SNDFILE* file, std::span<const double> part, int bits) {
  const double steps = std::ldexp(1.0, bits - 1);
  const int upper = 1 << (32 - bits);
  std::array<int, chunk> samples;
  std::transform(part.begin(), part.end(), samples.begin(), [&](double v) {
    return static_cast<int>(std::clamp(std::nearbyint(v * steps), -steps, steps - 1.0)) * upper;
  });
  return sf_write_int(file, samples.data(), static_cast<sf_count_t>(part.size()));
}

}  // namespace

std::optional<SoundFormat> sound_format_for(const std::string& path) {
  if (ends_with_ignoring_case(path, ".wav")) return SoundFormat::wav_float;
  if (ends_with_ignoring_case(path, ".flac")) return SoundFormat::flac_24;
  return std::nullopt;
}

struct SoundFileWriter::State {
  std::string path;
  std::optional<files::Draft> draft;  ///< empty for a device, which is written to directly
  SoundFormat format = SoundFormat::wav_float;
  SoundHandle file;
  std::uint64_t frames = 0;

  [[noreturn]] void fail(std::string what) const {
    // The library says "System error : Permission denied."; the reason alone reads better.
    const std::string lead = "System error : ";
    if (what.starts_with(lead)) what.erase(0, lead.size());
    if (what.ends_with('.')) what.pop_back();
    files::refuse_output(path, what);
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
  if (!files::is_special(path)) state_->draft.emplace(path);
  state_->format = format;
  SF_INFO info{};
  info.samplerate = rate_hz;
  info.channels = 1;
  info.format = major_and_subtype(format);
  state_->file.reset(
      sf_open(state_->draft ? state_->draft->path().c_str() : path.c_str(), SFM_WRITE, &info));
  if (!state_->file) state_->fail(sf_strerror(nullptr));
  // Without its time stamp, equal samples make equal files.
  sf_command(state_->file.get(), SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);
}

SoundFileWriter::~SoundFileWriter() = default;

void SoundFileWriter::write(std::span<const double> value) {
  constexpr std::uint64_t wav_limit_bytes = 0xFFFF0000;  // 32-bit chunk length less the header
  const bool floats = state_->format == SoundFormat::wav_float;
  const std::uint64_t bytes_per_frame = floats ? 4 : 2;
  state_->frames += value.size();
  if (!is_flac(state_->format) && state_->frames * bytes_per_frame > wav_limit_bytes) {
    state_->fail("a WAV file ends at 4 GB, so make it shorter or write FLAC");
  }
  SNDFILE* const file = state_->file.get();
  while (!value.empty()) {
    const auto part = value.first(std::min(chunk, value.size()));
    const int bits = state_->format == SoundFormat::flac_24 ? 24 : 16;
    const sf_count_t written = floats ? write_floats(file, part) : write_integers(file, part, bits);
    if (written != static_cast<sf_count_t>(part.size())) state_->fail(sf_strerror(file));
    value = value.subspan(part.size());
  }
}

void SoundFileWriter::close() {
  if (!state_->file) return;
  sf_write_sync(state_->file.get());
  const int trouble = sf_close(state_->file.release());
  if (trouble != 0) state_->fail(sf_error_number(trouble));
  if (state_->draft) state_->draft->keep();
}

}  // namespace lampbeat::capture::sound
