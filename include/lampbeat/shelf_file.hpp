#pragma once

#include <string>
#include <vector>

namespace lampbeat {

/// One line of a shelf file.
struct ShelfEntry {
  std::string fixture;
  std::string capture;  ///< path, relative ones already resolved against the shelf file's folder
  std::string dark;     ///< level, or resolved path, of the dark reference; may be empty
  std::string level;
  std::string notes;
};

/// Reads a shelf file: comma, semicolon or tab separated, with a header naming at least `fixture`
/// and `capture`; cells may be quoted. Throws InputError naming file and line.
std::vector<ShelfEntry> read_shelf(const std::string& path);
/// Whether a file is a shelf: its first line holds the words `fixture` and `capture`.
bool is_shelf(const std::string& path);

}  // namespace lampbeat
