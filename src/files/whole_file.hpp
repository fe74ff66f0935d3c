#pragma once

#include <cstddef>
#include <string>

namespace lampbeat::files {

/// All of a file that is read at once, or of standard input for "-"; a byte order mark before UTF-8
/// is left out. Throws InputError naming the file and `what` it should be: there is none, or it is
/// larger than any of its kind.
std::string whole_file(const std::string& path, std::size_t most_bytes, const std::string& what);

/// The first bytes of a file, to see what it is; empty for anything but a regular file, since what
/// is taken from a pipe is gone.
std::string front_of_file(const std::string& path, std::size_t most_bytes);

}  // namespace lampbeat::files
