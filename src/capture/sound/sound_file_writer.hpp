#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>

namespace lampbeat::capture::sound {

enum class SoundFormat { wav_float, wav_16, flac_16, flac_24 };

/// The format a file name asks for: .wav is 32-bit float, .flac is 24-bit; empty for other names.
std::optional<SoundFormat> sound_format_for(const std::string& path);

/// Writes one channel of samples (full scale -1 ... +1) to a sound file.
///
/// The samples gather in a file beside `path`, which takes its name only in `close`; until then,
/// and when anything fails, whatever stood there before is untouched. Integer formats clip at full
/// scale and round to the nearest step, so that reading gives value = code / 2^(bits − 1) back.
/// The bytes depend on the samples alone: no dates, no program names.
class SoundFileWriter {
 public:
  /// Throws OutputError when the file cannot be created; UsageError unless 1 <= rate_hz, and at
  /// most 655350 for FLAC (RFC 9639, section 8.2 leaves 20 bits; encoders stop there).
  SoundFileWriter(const std::string& path, SoundFormat format, int rate_hz);
  ~SoundFileWriter();
  SoundFileWriter(const SoundFileWriter&) = delete;
  SoundFileWriter& operator=(const SoundFileWriter&) = delete;

  /// Throws OutputError when the disk is full or a WAV file would pass its limit of 4 GB.
  void write(std::span<const double> value);
  /// Completes the file and gives it its name. Throws OutputError.
  void close();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace lampbeat::capture::sound
