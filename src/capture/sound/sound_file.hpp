#pragma once

#include <memory>

#include "files/byte_source.hpp"
#include "lampbeat/capture.hpp"

namespace lampbeat::capture::sound {

/// One channel of a sound file, read through libsndfile; from a pipe only WAV, RF64 and FLAC, which
/// need no seeking. Throws InputError and UsageError as `open_capture` says.
std::unique_ptr<CaptureSource> open_sound_file(files::ByteSource bytes,
                                               const CaptureOptions& options);

}  // namespace lampbeat::capture::sound
