#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "lampbeat/capture.hpp"

namespace lampbeat::capture::table {

/// A column as the user named it.
struct ColumnWish {
  std::string text;
  std::optional<std::size_t> index;  ///< from 0; empty for a name, until its heading is found
};

struct ColumnWishes {
  std::optional<ColumnWish> time;
  std::optional<ColumnWish> value;
};

/// Throws UsageError for an empty name and a number that counts no column.
ColumnWishes column_wishes(const CaptureOptions& options);

}  // namespace lampbeat::capture::table
