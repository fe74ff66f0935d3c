#pragma once

#include <string>
#include <string_view>

namespace lampbeat::files {

/// Adds one line to the end of a file, or makes the file: the whole line with its line break is on
/// the disk when this returns, or nothing of it is in the file. Any number of processes may do so
/// at once; they take turns by a lock on the file itself (flock), and each line is one write to its
/// end. What a crash cut off before is not continued: the new line begins a line of its own.
/// A symbolic link is followed. Throws OutputError.
void append_line(const std::string& path, std::string_view line);

}  // namespace lampbeat::files
