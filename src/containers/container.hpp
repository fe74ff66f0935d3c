#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "containers/door.hpp"
#include "files/byte_source.hpp"

namespace lampbeat::containers {

/// Whether the module that opens containers is there.
bool can_open();
/// What to install and build to have it, as a sentence of its own.
std::string how_to_have_it();

struct Video {
  std::string container;
  std::string codec;
  int width = 0;
  int height = 0;
  int bits = 8;
  bool full_range = false;
  int transfer = 2;  ///< by its number in ITU-T H.273, table 3; 2: unspecified
  bool grey = false;
  bool still = false;
  int turned_deg = 0;
  bool mirrored = false;
  std::optional<double> capture_fps;
  /// What the container thinks its frame rate is, numerator and denominator, most trusted first.
  std::vector<std::pair<std::int64_t, std::int64_t>> rates;
  std::optional<double> duration_s;   ///< as the header says
  std::vector<double> early_times_s;  ///< of its first frames, sorted
};

struct Sound {
  std::string container;
  std::string codec;
  int channels = 1;
  int rate_hz = 0;
  bool lossy = false;
  int integer_bits = 0;  ///< 0: floating, or lossy
};

struct Frame {
  const std::uint16_t* luma = nullptr;  ///< valid until the next
  std::optional<double> time_s;
};

/// A file that holds compressed pictures or sound, read front to back. Everything throws
/// InputError, which names the file.
class Container {
 public:
  /// The module must be there. Refuses what it does not know as a container, and later pictures of
  /// more pixels.
  Container(files::ByteSource bytes, std::int64_t most_pixels);

  const std::string& name() const { return bytes_->source.name(); }
  bool has_video() const;
  bool has_sound() const;
  /// One of these, once, before the first frame or sample.
  Video start_video();
  Sound start_sound();
  /// Empty at the end.
  std::optional<Frame> next_frame();
  /// Interleaved samples, as many as came at once; empty at the end.
  std::optional<DoorSamples> next_samples();

 private:
  struct Bytes {
    files::ByteSource source;
    std::string trouble;  ///< of reading, which must not be thrown through C
  };
  struct Close {
    void operator()(void* container) const;
  };
  static std::int64_t read_at(void* bytes, std::uint64_t position, char* into,
                              std::size_t capacity);
  [[noreturn]] void refuse(const DoorComplaint& complaint) const;

  std::unique_ptr<Bytes> bytes_;  // at one address: the module holds it
  std::unique_ptr<void, Close> opened_;
};

}  // namespace lampbeat::containers
