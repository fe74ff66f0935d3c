#include "capture/sound/sound_container.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

#include <fmt/format.h>

#include "capture/sound/sample_format.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::capture::sound {
namespace {

/// libsndfile's words without their frame.
std::string plain_reason(std::string words) {
  constexpr std::string_view prefix = "Error : ";
  if (words.starts_with(prefix)) words.erase(0, prefix.size());
  while (!words.empty() && (words.back() == '\n' || words.back() == '.')) words.pop_back();
  return words;
}

}  // namespace

SoundContainer::SoundContainer(files::ByteSource source) : bytes_(std::move(source)) {
  header_ = read_sound_header(bytes_.source);
  choose_access();
  open();
  if (info_.samplerate < 1 || info_.channels < 1) {
    throw InputError(
        fmt::format("{}: its header states {} channels at {} samples per second, which cannot be;\n"
                    "export it again as plain WAV",
                    name(), info_.channels, info_.samplerate));
  }
}

/// Which bytes libsndfile gets to see.
void SoundContainer::choose_access() {
  files::ByteSource& source = bytes_.source;
  if (read_samples_alone()) return;
  if (source.seekable()) {
    bytes_.length = *source.size();
  } else if (source.look(4) == "fLaC") {
    constexpr std::size_t flac_header = 65536;  // its reader goes back to the start of its header
    source.look(flac_header);
    bytes_.length = endless;
  } else {
    refuse_pipe();
  }
}

/// Samples alone need no seeking and no length: the way to read a recording still being made, and
/// one whose recorder never came to complete the header. False where that is not needed or the
/// samples are not plain.
bool SoundContainer::read_samples_alone() {
  const files::ByteSource& source = bytes_.source;
  const int subtype = header_ && header_->plain ? raw_subtype(*header_->plain) : 0;
  if (subtype == 0 || (source.seekable() && header_->audio_bytes)) return false;
  bytes_.base = header_->audio_offset;
  bytes_.length = source.seekable() ? *source.size() - std::min(*source.size(), bytes_.base)
                                    : header_->audio_bytes.value_or(endless);
  bytes_.length -= bytes_.length % static_cast<std::uint64_t>(header_->plain->frame_bytes);
  info_.format = SF_FORMAT_RAW | SF_ENDIAN_LITTLE | subtype;
  info_.channels = header_->plain->channels;
  info_.samplerate = header_->plain->rate_hz;
  return true;
}

void SoundContainer::refuse_pipe() const {
  const std::string_view magic = bytes_.source.head().substr(0, 4);
  throw InputError(
      fmt::format("{}: this kind of sound ({}) cannot be read from a pipe, because its reader "
                  "must move back and forth;\nsave it to a file first, or pipe plain WAV",
                  name(),
                  magic == "RIFF" || magic == "RF64" ? "WAV with coded samples or a damaged header"
                  : magic == "FORM"                  ? "AIFF"
                  : magic == "caff"                  ? "CAF"
                  : magic == "riff"                  ? "W64"
                                                     : "no plain WAV or FLAC"));
}

void SoundContainer::open() {
  SF_VIRTUAL_IO access = access_to_bytes();
  file_.reset(sf_open_virtual(&access, SFM_READ, &info_, &bytes_));
  if (!file_) refuse_header();
}

void SoundContainer::refuse_header() const {
  const std::string reason = plain_reason(sf_strerror(nullptr));
  if (const auto missing = missing_bytes()) {  // whatever else its reader finds wrong
    throw InputError(
        fmt::format("{}: it is cut off: {};\ncopy it again from the recorder", name(), *missing));
  }
  throw InputError(
      fmt::format("{}: it begins like a sound file, but its header is damaged or unknown ({});\n"
                  "copy it again from the recorder, or export it as plain WAV",
                  name(), reason));
}

bool SoundContainer::seek(std::uint64_t frame) {
  const auto target = static_cast<sf_count_t>(frame);
  if (bytes_.source.seekable() && target < info_.frames &&
      sf_seek(file_.get(), target, SEEK_SET) == target) {
    return true;
  }
  sf_error(file_.get());
  return false;
}

/// What a chunked file promised and does not hold; empty when nothing is missing.
std::optional<std::string> SoundContainer::missing_bytes() const {
  if (!header_ || !header_->audio_bytes) return std::nullopt;
  const files::ByteSource& source = bytes_.source;
  const std::uint64_t promised = *header_->audio_bytes;
  const std::uint64_t present =
      source.seekable() ? *source.size() - std::min(*source.size(), header_->audio_offset)
                        : bytes_.position;
  if (present >= promised) return std::nullopt;
  return fmt::format("its header promises {} bytes of samples, {} are there", promised, present);
}

std::optional<std::string> SoundContainer::trouble_ending_after(std::uint64_t frames) const {
  if (const int error = sf_error(file_.get()); error != SF_ERR_NO_ERROR) {
    return "damaged or cut off (" + plain_reason(sf_error_number(error)) + ");";
  }
  if (const auto missing = missing_bytes()) return "cut off: " + *missing + ";";
  const auto promised = static_cast<std::uint64_t>(std::max<sf_count_t>(0, info_.frames));
  if (!header_ && promised < endless && frames < promised) {
    return fmt::format("cut off: its header promises {} samples;", promised);
  }
  return std::nullopt;
}

}  // namespace lampbeat::capture::sound
