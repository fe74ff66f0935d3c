#pragma once

#include <string_view>

#include "capture/table/cells.hpp"

namespace lampbeat::capture::table {

/// The cells of a line that may be a comment ("# time_us,light"), units joined to their names.
Cells heading_cells(std::string_view line, Separator separator);

/// Whether two names are the same but for the case of their letters.
bool same_name(std::string_view a, std::string_view b);

}  // namespace lampbeat::capture::table
