#pragma once

#include <cstddef>
#include <cstdint>

// Between the program and the module that opens containers (src/decoders): plain values and
// function pointers, so that the program links none of the many libraries behind it and the two may
// come of different compilers. Errors are text; nothing is thrown across.

namespace lampbeat::containers {

extern "C" {

/// Raised when anything below changes.
constexpr int door_version = 1;
/// The name of the one function the module shows.
constexpr const char* door_symbol = "lampbeat_containers";

/// Where a complaint is written, ended by a zero.
struct DoorComplaint {
  char text[512];
};

/// The bytes of the file, by position.
struct DoorBytes {
  void* source;
  std::int64_t size;  ///< -1: a pipe
  /// As many as fit unless the end comes first; -1 when reading fails.
  std::int64_t (*read_at)(void* source, std::uint64_t position, char* into, std::size_t capacity);
  /// No picture may have more pixels.
  std::int64_t most_pixels;
};

struct DoorVideo {
  char container[64];  ///< the libraries' own short names
  char codec[64];
  int width;
  int height;
  int bits;            ///< 8 ... 16
  int full_range;      ///< 1 or 0
  int transfer;        ///< transfer characteristics by their number in ITU-T H.273, table 3
  int grey;            ///< 1: no chroma
  int still;           ///< 1: a photograph
  int turned_deg;      ///< how far players turn the picture clockwise: 0, 90, 180, 270
  int mirrored;        ///< 1: and mirror it
  double capture_fps;  ///< as a tag says it was filmed; 0: none does
  /// What the container thinks its frame rate is, most trusted first; 0/0: nothing.
  std::int64_t rates[2][2];
  double duration_s;  ///< as the header says; 0: it does not
  /// When the first frames are shown, in s, in no order; a pipe has none, nor have bare streams.
  const double* early_times_s;
  std::size_t early_times;
};

struct DoorSound {
  char container[64];
  char codec[64];
  int channels;
  int rate_hz;
  int lossy;         ///< 1 or 0
  int integer_bits;  ///< of lossless samples; 0: floating, or lossy
};

struct DoorFrame {
  const std::uint16_t* luma;  ///< width · height code values, valid until the next call
  int timed;                  ///< 1: `time_s` is known
  double time_s;
};

struct DoorSamples {
  const float* interleaved;  ///< frames · channels, valid until the next call
  std::size_t frames;
};

/// Functions that return int give 1 for what was asked, 0 at the end, -1 with a complaint.
struct Door {
  int version;
  void* (*open)(const DoorBytes* bytes, DoorComplaint* complaint);
  void (*close)(void* container);
  int (*has_video)(void* container);
  int (*has_sound)(void* container);
  int (*start_video)(void* container, DoorVideo* video, DoorComplaint* complaint);
  int (*start_sound)(void* container, DoorSound* sound, DoorComplaint* complaint);
  int (*next_frame)(void* container, DoorFrame* frame, DoorComplaint* complaint);
  int (*next_samples)(void* container, DoorSamples* samples, DoorComplaint* complaint);
};
using DoorFunction = const Door* (*)();

}  // extern "C"

}  // namespace lampbeat::containers
