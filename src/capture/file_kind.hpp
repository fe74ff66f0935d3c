#pragma once

#include <string>
#include <string_view>

namespace lampbeat::capture {

enum class FileKind { sound, container, text };

/// Tells a sound file, a container of packed sound (M4A, MP3, Ogg, Matroska) and a text table apart
/// by the first bytes (some hundred are plenty).
/// Throws InputError for an empty file and for kinds that are none of these but can be named:
/// YUV4MPEG2 clips, pictures, archives, JSON, UTF-16 text; the message says what to do with them.
FileKind file_kind(const std::string& name, std::string_view head);

}  // namespace lampbeat::capture
