#pragma once

#include <string>

namespace lampbeat {

/// Writes a whole file or nothing: to a temporary file beside it, then renamed over it.
/// "-" writes to standard output. Throws OutputError.
void write_atomically(const std::string& path, const std::string& bytes);

}  // namespace lampbeat
