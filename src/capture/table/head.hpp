#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "files/byte_source.hpp"

namespace lampbeat::capture::table {

struct Line {
  std::uint64_t number = 0;
  std::string_view text;
  bool skipped = false;  ///< blank or a comment
};

/// The first lines of a text, as far as they show the columns' habits.
struct Head {
  std::string_view text;  ///< of the source, and valid as long as that looks no further
  char line_end = '\n';
  std::size_t skip_bytes = 0;  ///< byte order mark
  std::vector<Line> lines;
};

/// Rows that show the columns' habits, as a rule.
inline constexpr std::size_t usual_rows = 40;

/// Looks no further ahead than 256 KiB, and no further than for so many rows: a live pipe gives
/// its rows slowly.
Head look_at_head(files::ByteSource& source, std::size_t rows = usual_rows);

}  // namespace lampbeat::capture::table
