#pragma once

#include <memory>

#include "files/byte_source.hpp"
#include "lampbeat/capture.hpp"

namespace lampbeat::capture::sound {

/// Sound in a container that FFmpeg's libraries unpack: M4A, MP3, AAC, Ogg, Matroska. A codec that
/// leaves out what ears do not hear is named in the findings.
/// Throws InputError for a clip, which belongs to `footage`, and where lampbeat was built without
/// the means to open it; UsageError as `open_capture`.
std::unique_ptr<CaptureSource> open_packed_sound(files::ByteSource bytes,
                                                 const CaptureOptions& options);

}  // namespace lampbeat::capture::sound
