#pragma once

#include <string_view>
#include <vector>

namespace lampbeat::capture::table {

enum class Separator : char { comma = ',', semicolon = ';', tab = '\t', blank = ' ' };

const char* separator_name(Separator separator);

/// Without the blanks around it and the carriage returns behind it.
std::string_view trimmed(std::string_view text);

/// The cells of a line, which they point into.
using Cells = std::vector<std::string_view>;

/// Cuts a line into cells, without the blanks around them and without their quotes. A separator
/// inside quotes does not separate; runs of blanks and tabs separate once. At most 10000 cells.
void split_cells(std::string_view line, Separator separator, Cells& cells);

}  // namespace lampbeat::capture::table
