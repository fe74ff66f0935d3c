#pragma once

#include <sndfile.h>

#include <cstdint>
#include <optional>
#include <string>

#include "capture/sound/sndfile_handle.hpp"
#include "capture/sound/sound_bytes.hpp"
#include "capture/sound/sound_header.hpp"

namespace lampbeat::capture::sound {

/// A sound file or a pipe of sound, opened by libsndfile, and what its header promises.
class SoundContainer {
 public:
  /// Throws InputError for a header that makes no sense, and for kinds of sound that a pipe cannot
  /// give because their reader moves back and forth.
  explicit SoundContainer(files::ByteSource source);
  SoundContainer(const SoundContainer&) = delete;  // libsndfile holds the address of its bytes
  SoundContainer& operator=(const SoundContainer&) = delete;

  const std::string& name() const { return bytes_.source.name(); }
  /// Whether a live recording was stopped before it ended by itself.
  bool stopped() const { return bytes_.source.stopped(); }
  SNDFILE* file() const { return file_.get(); }
  const SF_INFO& info() const { return info_; }
  double seconds(std::uint64_t frames) const {
    return static_cast<double>(frames) / static_cast<double>(info_.samplerate);
  }

  /// Moves to a frame where that is possible; false leaves the place undefined or as it was, and
  /// the file still readable from the beginning.
  bool seek(std::uint64_t frame);
  /// What is wrong when the samples run out after `frames`, as half a sentence behind "it is";
  /// empty where that is where the file said it would end.
  std::optional<std::string> trouble_ending_after(std::uint64_t frames) const;

 private:
  void choose_access();
  void open();
  bool read_samples_alone();
  [[noreturn]] void refuse_pipe() const;
  [[noreturn]] void refuse_header() const;
  std::optional<std::string> missing_bytes() const;

  SoundBytes bytes_;
  std::optional<SoundHeader> header_;
  SF_INFO info_{};
  SoundHandle file_;
};

}  // namespace lampbeat::capture::sound
