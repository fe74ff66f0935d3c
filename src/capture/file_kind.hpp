#pragma once

#include <string>
#include <string_view>

namespace lampbeat::capture {

enum class FileKind { sound, text };

/// Tells a sound file from a text table by its first bytes (some hundred are plenty).
/// Throws InputError for an empty file and for kinds that are neither but can be named: clips,
/// pictures, archives, lossy sound, JSON, UTF-16 text; the message says what to do with them.
FileKind file_kind(const std::string& name, std::string_view head);

}  // namespace lampbeat::capture
