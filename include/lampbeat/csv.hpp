#pragma once

#include <string>

#include "lampbeat/rating.hpp"

namespace lampbeat {

/// The ranking as a comma separated table with a header. Cells a spreadsheet would run as a
/// formula are made plain text by a leading apostrophe.
std::string to_csv(const ShelfRating& rating);

}  // namespace lampbeat
